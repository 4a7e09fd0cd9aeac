"""Which part is it, and where to probe next: faults weighed against readings."""
