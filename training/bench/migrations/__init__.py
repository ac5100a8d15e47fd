"""Migrations of the bench."""
