"""Tools in materials: chip loads, feeds and speeds, steps, drilling and boring, forces and power."""
