"""One swing: events, wrist, closing account, pattern."""
