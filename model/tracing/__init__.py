"""How a fault is traced: the walk from a load back to the source."""
