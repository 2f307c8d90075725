"""How many tabs it takes against the force of the passes that free a piece.

The force is the mean along the tool's rim, by the specific cutting force of the material (measured on particleboard,
see `tooling.materials`); a tab counts at its least section: zero, table and thickness as far out as they may be.
"""

from itertools import pairwise
from math import ceil

from cncpanel.machine.model import Spindle
from cncpanel.machine.tool import Tool
from cncpanel.passes.shop import Shop, least_skin

SAFETY = 2.0  # times the mean force: a tooth's peak (pi / 2), its outward share, and a little; no source
STRENGTH = 5.0  # N/mm2 of a tab's section: a panel's shear and bending along its plane; common practice, no source


def freeing_force(tool: Tool, shop: Shop) -> float:
    """N of a full-width pass of the deepest step that such a through cut takes."""
    return pushing(tool, -shop.bottom, shop)


def outline_force(tool: Tool, shop: Shop) -> float:
    """N of the passes that free a part: those of a through cut, or what goes through a skin at last."""
    if shop.skin is None:
        return freeing_force(tool, shop)
    return pushing(tool, -shop.bottom - shop.outline_depth, shop)


def pushing(tool: Tool, depth: float, shop: Shop) -> float:
    """N of a full-width pass of the deepest step that a kerf of that depth takes."""
    depths = (0.0, *shop.step_depths(tool, "slot", depth))
    step = max(b - a for a, b in pairwise(depths))
    data = shop.data(tool, "slot", step, tool.cut_diameter)
    return data.force_n * data.rpm / _slowest(shop.machine.spindle, data.rpm)


def _slowest(spindle: Spindle, rpm: float) -> float:
    """What it may turn at when it is set to `rpm`: a dial set by hand may stand anywhere, and slower pushes harder."""
    return spindle.rpm_min if spindle.control == "hand" else rpm


def tabs_against(force: float, shop: Shop) -> int:
    """How many tabs of the shop's size hold against `force` N, SAFETY times; none where they hold nothing for sure."""
    holds = grip(shop)
    return ceil(SAFETY * force / holds) if holds > 0 else 0


def skin_grip(length: float, shop: Shop) -> float:
    """N that a skin of that length along a part's rim holds it with, where it is thinnest."""
    if shop.skin is None:
        return 0.0
    return length * max(shop.skin - least_skin(shop.machine), 0.0) * STRENGTH


def grip(shop: Shop) -> float:
    """N that one tab holds against at its least section."""
    return shop.tab_width * _least_height(shop) * STRENGTH


def _least_height(shop: Shop) -> float:
    return max(shop.tab_height - least_skin(shop.machine), 0.0)
