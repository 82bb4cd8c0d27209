"""Parts that several places use."""
