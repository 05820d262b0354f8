"""Plans that prove a new loom: what to measure row by row, what to expect there, and what a reading says."""
