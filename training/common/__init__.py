"""What every page shares: the shell, fragments, quantity fields and tags."""
