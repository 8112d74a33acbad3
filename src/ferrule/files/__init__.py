"""Outside formats in: recordings, cases, launches, deliveries."""
