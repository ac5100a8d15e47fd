"""Template tags of the front."""
