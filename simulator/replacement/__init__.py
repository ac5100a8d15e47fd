"""Does this part fit this machine: a verdict with every reason, its figure, its source and what is still open."""
