"""Screens and commands over the model."""
