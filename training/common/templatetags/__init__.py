"""Template tags that every page may load."""
