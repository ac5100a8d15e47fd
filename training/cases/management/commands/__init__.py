"""Commands of the call book."""
