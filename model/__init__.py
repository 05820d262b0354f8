"""The harness, its circuit and its walks: knows no screen, no terminal, no clock."""
