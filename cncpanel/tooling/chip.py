"""How thick a chip really is. `chip_per_tooth`: the advance a tooth, mm; `width`: radial width of cut, mm."""

from math import acos, sqrt


def max_chip(chip_per_tooth: float, width: float, diameter: float) -> float:
    """Thickest part of a straight-edge cut's chip; equals the advance from half the diameter on.

    h = f 2 sqrt(w/D (1 - w/D)): geometry; the published form is in `thinning_factor`.
    """
    return chip_per_tooth / thinning_factor(width, diameter)


def thinning_factor(width: float, diameter: float) -> float:
    """By how much the advance may rise for the chip to be as thick as in a full cut; 1 from D/2 on.

    Source: "Common Milling Calculations", Helical Solutions: (D/2) / sqrt(D w - w^2), below D/2.
    """
    if width >= diameter / 2:
        return 1.0
    return diameter / 2 / sqrt(diameter * width - width * width)


def mean_chip(chip_per_tooth: float, width: float, diameter: float) -> float:
    """Mean chip thickness over the arc of an edge cut: f (1 - cos a) / a, a = arccos(1 - 2 w/D). Geometry.

    Not the form for a cutter centred on the cut. `width` above 0, at most the diameter.
    """
    cosine = 1 - 2 * width / diameter
    return chip_per_tooth * (1 - cosine) / acos(cosine)


def inside_arc_feed_factor(wall_radius: float, tool_radius: float) -> float:
    """Feed of the tool's centre inside a round wall, over the feed along that wall: (R - r) / R. Geometry."""
    return (wall_radius - tool_radius) / wall_radius
