"""Commands without a screen; the only place that writes to standard output."""
