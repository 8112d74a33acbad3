"""Pure composition: recording and golfer and club to swings; case to causes and options."""
