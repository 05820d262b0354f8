"""Widgets that screens share; none loads a file or solves a circuit."""
