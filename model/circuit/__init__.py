"""The circuit of a harness under a condition, and what a meter reads in it."""

import os

# A few hundred nodes are solved twenty times faster on one thread than on two that wait for each other.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
