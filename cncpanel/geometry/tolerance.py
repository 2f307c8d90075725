"""Every tolerance of the geometry, each with its reason. Millimetres."""

PATH = 0.005  # mm; nothing emitted is further off the exact offset: a tenth of what a router holds
FLATTEN = 0.002  # mm; chord error where curves go to a polygon kernel: leaves PATH room for recovery
SAME_POINT = 1e-6  # mm; ends closer than this are one point: far below any machine's step
FIT = 0.004  # mm; greedy arcs over free-form curves, FLATTEN included stays under PATH
SNUG = 0.8 * PATH  # mm by which a tool as wide as its groove may be too wide: rounding, not wood
