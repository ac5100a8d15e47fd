"""Papers: the question drawer, papers set from it, sittings and item analysis."""
