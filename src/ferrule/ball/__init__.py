"""Impact, air, flight and observed flight. Needs no body."""
