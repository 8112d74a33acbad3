"""One swing: events, wrist, closing account, pattern. Knows segments and clubs' directions, not sensors."""
