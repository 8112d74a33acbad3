"""What a coach does, one function for each action."""
