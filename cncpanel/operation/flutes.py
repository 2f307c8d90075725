"""Which way a flat tool's flutes pull, and what that does to the faces and to the chips of a cut.

Up-cut flutes lift chips out and fray the face that lies up; down-cut ones press that face down and pack the chips;
compression ones do both, clean on either face once their up-cut part is under the upper one. Common practice among
makers of router bits; no figure of theirs was found for the depths here.
"""

from dataclasses import dataclass
from typing import Literal

from cncpanel.job.model import Face
from cncpanel.machine.tool import Tool
from cncpanel.tooling.step_down import COMPRESSION_SPARE, compression_suits

SPLINTERS = ("plywood", "hardwood", "softwood")  # materials whose faces fray; boards of fibres and plastics hardly do
DEEP = 2.0  # tool diameters; a slot that is deeper packs the chips of a down-cut: common practice, no source
LIFTED_SKIN = "its up-cut part lifts the thin skin as it takes it at the end, and the face below may fray"

Rank = Literal[0, 1, 2]


@dataclass(frozen=True, slots=True)
class Manner:
    """How well the flutes suit a cut: 0 well, 1 neither way, 2 badly; and why, as a sentence's end."""

    rank: Rank
    why: str


def manner(tool: Tool, depth: float, face: Face, *, through: bool, skin: bool = False) -> Manner:
    """Of a cut `depth` mm deep from the face that lies up; through cuts have a face below too.

    `skin`: a thin floor of it is left until the end, and then taken by itself.
    """
    shown_up = face == "show"
    if tool.kind == "compression" and skin:
        return Manner(2, f"compression: {LIFTED_SKIN}; it asks for parts held by tabs or vacuum and not by a skin")
    if tool.kind == "compression":
        return _compression(tool, depth, through=through)
    if tool.kind == "down-cut":
        if depth > DEEP * tool.cut_diameter:
            return Manner(2, f"down-cut: packs its chips in a slot deeper than {DEEP * tool.cut_diameter:g} mm")
        if through and not shown_up:
            return Manner(2, "down-cut: frays the show face, which lies below")
        return Manner(0, "down-cut: presses the face that lies up down and leaves it clean")
    if tool.kind == "straight":
        return Manner(1, "straight flutes: neither lift nor press")
    if through and not shown_up:
        return Manner(0, "up-cut: lifts its chips out; the show face lies below on the spoilboard and stays clean")
    deep = " of a deep slot" if depth > DEEP * tool.cut_diameter else ""
    return Manner(2, f"up-cut: lifts its chips out{deep}; look at the face that lies up, it may fray")


def _compression(tool: Tool, depth: float, *, through: bool) -> Manner:
    first = (tool.up_cut_length or 0.0) + COMPRESSION_SPARE
    if not compression_suits(tool, depth):
        return Manner(2, f"compression: {depth:g} mm deep it cuts with its up-cut part alone, as an up-cut does")
    held = ", parts held by tabs or vacuum, not by a skin" if through else ""
    return Manner(0, f"compression: clean on both faces, its first pass {first:g} mm deep or more{held}")
