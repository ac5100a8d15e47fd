"""Geometry of the pictures: dials, belts, tubes, strip charts. Numbers in, ready path data out; no HTML here."""
