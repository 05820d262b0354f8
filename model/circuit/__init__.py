"""The circuit of a harness under a condition, and what a meter reads in it."""
