"""Reciprocating air compressors as physics: rigs, faults, checks and the engine that runs them."""
