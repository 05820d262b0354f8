"""Harness files: their records, their points, reading and checking them."""
