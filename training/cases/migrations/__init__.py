"""Migrations of the calls."""
