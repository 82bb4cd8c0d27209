"""One module per revision."""
