"""Where the minutes went and whether the mistakes stopped."""
