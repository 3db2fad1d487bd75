"""Numbers and days for those who read Spanish."""
