"""Migrations of the papers."""
