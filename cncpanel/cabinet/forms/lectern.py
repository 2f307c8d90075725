"""Lectern: a box whose lid slopes towards the visitor; low as a table-top, high as a pedestal."""

from dataclasses import dataclass
from math import ceil, cos, radians, sin, tan

from cncpanel.cabinet.brief import Brief
from cncpanel.cabinet.forms.controls import PITCH, Block, all_blocks, rows
from cncpanel.cabinet.forms.screen import Screen, corner_radius, screen_of
from cncpanel.cabinet.forms.text import FOOT, MINUS_FOOT, fitting, head, panel, plate, side

CLEATS = 44.0  # mm: both of them and 4 of air on each side
ROW = 50.0  # mm up the lid to the row of buttons; their nuts clear the front
ABOVE_ROW = 85.0  # mm from the row to the screen's frame
LEAST_ZONE = 168.0  # mm of lid for the plate that the screen hangs on
SPARE = 12.0  # mm between the frame and the back


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizes:
    """What sets a low one and a high one apart."""

    slope: float
    front: float
    floor: float
    use: str
    eye: float
    tall: bool


TABLE_TOP = Sizes(slope=24, front=130, floor=740, use="table", eye=350, tall=False)
PEDESTAL = Sizes(slope=20, front=880, floor=20, use="standing", eye=250, tall=True)


def lectern(brief: Brief, sizes: Sizes) -> str:
    """The job file."""
    screen = screen_of(brief)
    buttons_up = ROW + PITCH / 2 * max(rows(brief) - 1, 0)
    controls = all_blocks(brief, buttons_up)
    inside = max(screen.frame[0] + CLEATS, controls.width + CLEATS, 320.0 if sizes.tall else 240.0)
    width = ceil(inside + 2 * brief.board.thickness)
    row = 2 * buttons_up - ROW + ABOVE_ROW if brief.buttons else 45.0
    lean = radians(sizes.slope)
    behind = 2 * brief.board.thickness + screen.depth
    zone = max(screen.frame[1], LEAST_ZONE)
    beyond = (brief.board.thickness + SPARE + behind * sin(lean)) / cos(lean)  # so that frame and plate clear the back
    lid = row + zone + beyond + 2 * corner_radius(brief)
    depth = ceil(max(lid * cos(lean), 330.0 if sizes.tall else 0.0))
    high = sizes.front + depth * tan(lean)
    values = f"""\
width = {width}              # outside, over both sides
inside = "width - 2 * board"
housed = "inside + 2 * board / 3 - 1"
depth = {depth}
front = {sizes.front:g}              # height of the sides in front
high = {high:.1f}            # and behind
screen_up = {row + zone / 2:g}          # up the lid to the screen's middle
reveal = {corner_radius(brief):g}              # the sides' corners are rounded by as much
"""
    text = head(brief, "Bevels are sawn at the bench; mains parts are a qualified person's work.", values)
    text += _cabinet(brief, sizes) + side(brief, 4)
    text += _lid(brief, controls, screen)
    return text + (_tall(brief) if sizes.tall else _low(brief))


def _cabinet(brief: Brief, sizes: Sizes) -> str:
    site = [f'use = "{sizes.use}"', f"eye = {sizes.eye:g}", f"children = {str(brief.children).lower()}"]
    site += [f"doorway = {brief.doorway:g}"] if brief.doorway else []
    site += [f"ceiling = {brief.ceiling:g}"] if brief.ceiling else []
    radius = corner_radius(brief)
    ys = ('"reveal + board + 22"', '"depth - reveal - board - 22"')
    feet = f"feet = [{', '.join(f'[{x}, {y}]' for x in (FOOT, MINUS_FOOT) for y in ys)}]\n"
    return f"""\
# y is depth from the back plane towards the visitor, z height over the sides' lower edge.
[cabinet]
width = "width"
stock = "{brief.board.name}"
reveal = "reveal"
floor = {sizes.floor:g}               # what it stands on lies this far above the floor
{feet if sizes.tall else ""}round = 4
staple = {min(1.9 * brief.board.thickness, 35):.0f}
parts = "@PARTS@"
site = {{ {", ".join(site)} }}
profile = [
    {{ name = "A", to = [0, 0] }},
    {{ name = "B", to = ["depth", 0], radius = 5 }},
    {{ name = "C", to = ["depth", "front"], radius = {radius:g} }},
    {{ name = "D", to = [0, "high"] }},
]

"""


def _lid(brief: Brief, controls: Block, screen: Screen) -> str:
    spots = [(f"inside / 2 + {x:g}", y) for x, y in controls.buttons]
    fittings = [fitting("screen", [("inside / 2", "screen_up")])]
    fittings += [fitting("button 24", spots)] if spots else []
    lid = panel(brief, "lid", 'edge = ["C", "D"]\ncleats = true', fittings, keys='face = "back"')
    return lid + plate(brief, "lid", "screen_up - 80", screen.depth)


def _low(brief: Brief) -> str:
    front = 'edge = ["B", "C"]\nend = { butts = "lid" }'
    back = 'edge = ["D", "A"]\nstart = { butts = "lid" }'
    bottom = 'edge = ["A", "B"]\nstart = { butts = "back" }\nend = { butts = "front" }\ncleats = true'
    port = fitting("grommet 60", [("inside / 2", "high - 2 * reveal - 100")])
    return panel(brief, "front", front) + panel(brief, "back", back, [port]) + panel(brief, "bottom", bottom)


def _tall(brief: Brief) -> str:
    bottom = (
        'line = [["reveal + board", 54], ["depth - reveal - board", 54]]\nstart = { butts = "back rail" }\n'
        'end = { butts = "front" }\nsides = "housed"'
    )
    ys = (22, "depth - 2 * reveal - 2 * board - 22")
    feet = [(f"housed / 2 {sign} (width / 2 - 58)", y) for sign in "-+" for y in ys]
    upper = 'edge = ["D", "A"]\nstart = { butts = "lid" }\nlength = 150\ncleats = true'
    rail = 'line = [["reveal", 160], ["reveal", 20]]\ncleats = true'
    door = (
        'edge = ["D", "A"]\nstart = { clear_of = "back upper", gap = 3 }\nend = { clear_of = "back rail", gap = 3 }\n'
        'sides = "clear"\ngap = 3\nopens = { hinged = "left" }'
    )
    ports = [fitting("grommet 60", [("inside - 80", 42)]), fitting("mains inlet plate", [(80, 42)])]
    return (
        panel(brief, "front", 'edge = ["B", "C"]\nstart = { at = 12 }\nend = { butts = "lid" }\ncleats = true')
        + panel(brief, "bottom", bottom, [fitting("foot M8", feet)])
        + panel(brief, "back upper", upper)
        + panel(brief, "back rail", rail, ports)
        + panel(brief, "back door", door, [fitting("cam lock", [("inside - 6 - 45", 250)])])
    )
