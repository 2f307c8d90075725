"""The brief's screen as a part of the shop's own catalogue: picture, frame and opening from its diagonal."""

from dataclasses import dataclass
from math import ceil, hypot

from cncpanel.cabinet.brief import Brief

INCH = 25.4
FRAME_SIDE, FRAME_BOTTOM = 6.0, 22.0  # mm beyond the picture (modern frames, from memory)
OVER = 1.6  # mm of opening beyond the picture on each side
THIN, THICK = 20.0, 50.0  # mm; screens up to 17 in, and larger (from memory)


@dataclass(frozen=True, slots=True, kw_only=True)
class Screen:
    """Picture, opening and frame (width, height) and how deep it is, mm."""

    picture: tuple[float, float]
    opening: tuple[float, float]
    frame: tuple[float, float]
    depth: float
    mass: float


def screen_of(brief: Brief) -> Screen:
    """d a / sqrt(a2 + b2) by d b / sqrt(a2 + b2)."""
    a, b = (float(side) for side in brief.aspect.split(":"))
    diagonal = brief.screen * INCH
    width, height = diagonal * a / hypot(a, b), diagonal * b / hypot(a, b)
    frame_height = height + 2 * max(FRAME_SIDE, FRAME_BOTTOM)  # about the picture's middle
    return Screen(
        picture=(round(width, 1), round(height, 1)),
        opening=(ceil(width + 2 * OVER), ceil(height + 2 * OVER)),
        frame=(ceil(width + 2 * FRAME_SIDE), ceil(frame_height)),
        depth=THIN if brief.screen <= 17 else THICK,
        mass=round(0.8 + 0.006 * brief.screen**2, 1),
    )


def corner_radius(brief: Brief) -> float:
    """Of the sides' outer corners, and the reveal with it, so that panels stay that far inside the rounding."""
    return 20.0 if brief.children else 10.0


def parts_text(brief: Brief) -> str:
    """The shop's own catalogue beside the job: the screen, to be corrected from the one in hand."""
    screen = screen_of(brief)
    return f"""\
# Parts of this shop: they rule over the catalogue's. Correct the screen's figures from the one in hand.

[[part]]
name = "screen"
kind = "screen"
title = "{brief.screen:g} in screen, {brief.aspect}, {screen.picture[0]:g} x {screen.picture[1]:g} visible"
opening = [{screen.opening[0]:g}, {screen.opening[1]:g}]
radius = 6
visible = [{screen.picture[0]:g}, {screen.picture[1]:g}]
body = [{{ size = [{screen.frame[0]:g}, {screen.frame[1]:g}], behind = true, depth = {screen.depth:g} }}]
cord = 1800
mass = {screen.mass:g}
source = "picture computed from its diagonal; frame, depth, cord and mass from memory"
measure = true
"""
