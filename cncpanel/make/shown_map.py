"""The witness's map of depths as it is shown: in as few cells as a screen can use."""

import numpy as np

from cncpanel.drawing.proof_picture import DepthMap
from cncpanel.proof.prove import Witnessed


def depth_map(found: Witnessed) -> DepthMap | None:
    """What was cut; None where nothing was."""
    if found.carved is None:
        return None
    heights = found.carved.measured.heights
    return DepthMap(depth=heights.depth, cell=heights.grid.cell, origin=heights.grid.origin).reduced()


def excess_map(found: Witnessed) -> DepthMap | None:
    """What is too deep (+) or left (-); None where nothing is, or nobody knows what is wanted."""
    if found.carved is None or found.excess is None or not np.any(found.excess):
        return None
    grid = found.carved.measured.heights.grid
    return DepthMap(depth=found.excess, cell=grid.cell, origin=grid.origin).reduced()
