"""One cylinder or all of them through the turn of the crank: the indicator card, and what reeds and rings do to it."""
