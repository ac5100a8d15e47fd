"""Marking in plain Python: evidence in, marks with reasons out."""
