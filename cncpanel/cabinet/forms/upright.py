"""Upright: a deck to stand at, a screen that leans back above it, a door behind."""

from math import ceil, cos, radians, sin

from cncpanel.cabinet.brief import Brief
from cncpanel.cabinet.forms.controls import Block, all_blocks
from cncpanel.cabinet.forms.screen import corner_radius, screen_of
from cncpanel.cabinet.forms.text import FOOT, MINUS_FOOT, fitting, head, panel, plate, side

LEAST_INSIDE = 460.0  # mm; a narrower one tips sideways
SLOPE, LEAN = 12.0, 18.0  # degrees: deck 5-15, screen 15-25 (common practice)
DECK = 245.0  # mm along the slope
CLEATS = 44.0  # mm: both of them and 4 of air on each side
BEYOND = 150.0  # mm of bezel beyond the frame's height


def upright(brief: Brief) -> str:
    """The job file."""
    screen, controls = screen_of(brief), all_blocks(brief, 120.0)
    inside = max(LEAST_INSIDE, screen.frame[0] + CLEATS, controls.width + CLEATS)
    width = ceil(inside + 2 * brief.board.thickness)
    bezel = screen.frame[1] + BEYOND
    fy, fz = 620 - DECK * cos(radians(SLOPE)), 900 + DECK * sin(radians(SLOPE))
    gy, gz = fy - bezel * sin(radians(LEAN)), fz + bezel * cos(radians(LEAN))
    values = f"""\
width = {width}              # outside, over both sides
inside = "width - 2 * board"
housed = "inside + 2 * board / 3 - 1"
height = {gz:.1f}           # of the sides
bezel = {screen.frame[1] / 2 + 55:g}              # up the bezel to the screen's middle
reveal = {corner_radius(brief):g}              # the sides' corners are rounded by as much
"""
    text = head(brief, "Bevels are sawn at the bench; mains parts are a qualified person's work.", values)
    text += _cabinet(brief, ((fy, fz), (gy, gz)))
    return text + side(brief, 6) + _body(brief, controls) + _screen(brief, screen.depth) + _back(brief, width, gz)


def _cabinet(brief: Brief, corners: tuple[tuple[float, float], tuple[float, float]]) -> str:
    (fy, fz), (gy, gz) = corners
    ys = ('"reveal + board + 22"', '"498 - reveal - board"')
    feet = ", ".join(f"[{x}, {y}]" for x in (FOOT, MINUS_FOOT) for y in ys)
    site = ['use = "standing"', f"children = {str(brief.children).lower()}"]
    site += [f"doorway = {brief.doorway:g}"] if brief.doorway else []
    site += [f"ceiling = {brief.ceiling:g}"] if brief.ceiling else []
    radius = corner_radius(brief)
    return f"""\
# y is depth from the back plane towards the visitor, z height over the sides' lower edge.
[cabinet]
width = "width"
stock = "{brief.board.name}"
reveal = "reveal"
floor = 30
feet = [{feet}]
round = 6
parts = "@PARTS@"
site = {{ {", ".join(site)} }}
air = [{{ panel = "back door", feature = "vents" }}]
load = [{{ name = "computer", mass = 3, at = [0, 200, 80], size = [220, 220, 90] }}]
profile = [
    {{ name = "A", to = [0, 0] }},
    {{ name = "B", to = [520, 0], radius = 5 }},
    {{ name = "C", to = [520, 800], radius = 6 }},
    {{ name = "D", to = [620, 800], radius = {radius:g} }},
    {{ name = "E", to = [620, 900], radius = {radius:g} }},
    {{ name = "F", to = [{fy:.2f}, {fz:.2f}], radius = 6 }},
    {{ name = "G", to = [{gy:.2f}, {gz:.2f}], radius = {radius:g} }},
    {{ name = "J", to = [0, {gz:.2f}] }},
]

"""


def _body(brief: Brief, controls: Block) -> str:
    ys = (22, "498 - 2 * reveal - 2 * board")
    feet = [(f"housed / 2 {'-' if left else '+'} (width / 2 - 58)", y) for left in (True, False) for y in ys]
    bottom = (
        'line = [[28, 54], [492, 54]]\nstart = { butts = "back rail" }\nend = { butts = "lower front" }\n'
        'sides = "housed"'
    )
    front = 'edge = ["B", "C"]\nstart = { at = 10 }\nend = { butts = "deck soffit" }\ncleats = true'
    soffit = 'edge = ["C", "D"]\nstart = { covers = "lower front" }\nend = { butts = "nose rail" }\ncleats = true'
    rail = 'edge = ["D", "E"]\nstart = { covers = "deck soffit" }\nend = { butts = "control deck" }'
    return (
        panel(brief, "bottom", bottom, [fitting("foot M8", feet)])
        + panel(brief, "lower front", front)
        + panel(brief, "deck soffit", soffit)
        + panel(brief, "nose rail", rail)
        + panel(brief, "control deck", 'edge = ["E", "F"]\ncleats = true', _controls(controls), keys='face = "back"')
    )


def _controls(controls: Block) -> list[str]:
    found = []
    if controls.sticks:
        found.append(fitting("stick", [(f"inside / 2 + {x:g}", y) for x, y in controls.sticks]))
    if controls.buttons:
        found.append(fitting("button 30", [(f"inside / 2 + {x:g}", y) for x, y in controls.buttons]))
    return found


def _screen(brief: Brief, depth: float) -> str:
    bezel = 'edge = ["F", "G"]\nend = { mitred = "top" }\ncleats = true'
    top = 'edge = ["G", "J"]\nstart = { mitred = "screen bezel" }\nend = { covers = "back upper" }\ncleats = true'
    return (
        panel(brief, "screen bezel", bezel, [fitting("screen", [("inside / 2", "bezel")])])
        + panel(brief, "top", top)
        + plate(brief, "screen bezel", "bezel - 80", depth)
    )


def _back(brief: Brief, width: float, height: float) -> str:
    inside = width - 2 * brief.board.thickness
    fan = "fan 120" if inside >= 560 else "fan 80"
    columns = min(int((inside - 120) / 24), 24)
    upper = 'edge = ["J", "A"]\nstart = { butts = "top" }\nend = { at = "height - reveal - 1000" }\ncleats = true'
    rail = (
        'edge = ["J", "A"]\nstart = { at = "height - reveal - 160" }\nend = { at = "height - reveal - 20" }\n'
        "cleats = true"
    )
    door = (
        'edge = ["J", "A"]\nstart = { clear_of = "back upper", gap = 3 }\nend = { clear_of = "back rail", gap = 3 }\n'
        'sides = "clear"\ngap = 3\nopens = { hinged = "left" }'
    )
    vents = (
        '[[panel.grille]]\nname = "vents"\ncentre = ["(inside - 6) / 2", "834 - 150"]\n'
        f"size = [{(columns - 1) * 24 + 7}, 181]\n"
        "slots = { length = 80, width = 6, pitch = [100, 24], turn_deg = 90 }"
    )
    fan_at = max((height - 1000 - 18) / 2, 80)
    return (
        panel(brief, "back upper", upper, [fitting(fan, [("inside / 2", round(fan_at))])])
        + panel(
            brief,
            "back rail",
            rail,
            [
                fitting("grommet 60", [("inside - 100", 42)]),
                fitting("mains inlet plate", [(100, 42)]),
            ],
        )
        + panel(brief, "back door", door, [vents, fitting("cam lock", [("inside - 6 - 45", 417)])])
    )
