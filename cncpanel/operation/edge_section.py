"""How much of board and scrap each level of an edge takes, looked at across the rim: counted on a fine grid."""

from collections.abc import Sequence

import numpy as np

from cncpanel.machine.tool import Tool
from cncpanel.operation.edge_layer import Layer, radius_over_tip

GRID = 0.05  # mm; the section of a 2 mm rounding is 0.86 mm2, 344 cells


def sections(layers: Sequence[Layer], tool: Tool, width: float, kerf: float) -> tuple[float, ...]:
    """mm2 for each level in turn: in the part up to `width` from its wall, and in the scrap beyond the kerf."""
    widest = max(layer.offset + tool.radius for layer in layers)
    inset = np.arange(-widest, width + tool.radius, GRID) + GRID / 2
    low = min(layer.z for layer in layers)
    heights = np.arange(low, 0.0, GRID) + GRID / 2
    left = np.broadcast_to((inset > 0) | (inset < -kerf), (len(heights), len(inset))).copy()
    found = []
    for layer in layers:
        wide = np.array([radius_over_tip(tool, height - layer.z) for height in heights])
        cut = left & (np.abs(inset[None, :] + layer.offset) < wide[:, None])
        found.append(float(cut.sum()) * GRID * GRID)
        left &= ~cut
    return tuple(found)
