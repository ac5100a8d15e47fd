"""Commands of the papers."""
