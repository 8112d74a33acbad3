"""Numbers with their doubt: estimates, shares, and later the statistics of change. Knows nothing of golf."""
