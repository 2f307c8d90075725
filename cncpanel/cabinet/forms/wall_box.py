"""Wall box: a shallow box whose face leans back, hung on the wall by a rail."""

from math import ceil, cos, radians, tan

from cncpanel.cabinet.brief import Brief
from cncpanel.cabinet.forms.controls import PITCH, all_blocks, rows
from cncpanel.cabinet.forms.screen import corner_radius, screen_of
from cncpanel.cabinet.forms.text import fitting, head, panel, plate, side

CLEATS = 44.0  # mm: both of them and 4 of air on each side
LEAN = 9.5  # degrees
ROW = 55.0  # mm up the face to the row of buttons
ABOVE_ROW = 50.0  # mm from the row to the screen's frame
BEYOND = 40.0
LEAST_ZONE = 168.0  # mm of face for the plate that the screen hangs on
RAIL = 80.0
ROW_HEIGHT = 1100.0  # mm above the floor: buttons, within reach of 380-1220


def wall_box(brief: Brief) -> str:
    """The job file."""
    screen = screen_of(brief)
    buttons_up = ROW + PITCH / 2 * max(rows(brief) - 1, 0)
    controls = all_blocks(brief, buttons_up)
    thickness, radius = brief.board.thickness, corner_radius(brief)
    inside = max(screen.frame[0] + CLEATS, controls.width + CLEATS, 240.0)
    width = ceil(inside + 2 * thickness)
    row = 2 * buttons_up - ROW + ABOVE_ROW if brief.buttons else 40.0
    zone = max(screen.frame[1], LEAST_ZONE)
    face = row + zone + BEYOND + 2 * radius
    height = ceil(face * cos(radians(LEAN)))
    above = ceil(radius + 3 * thickness + screen.depth + 25)
    below = ceil(above + height * tan(radians(LEAN)))
    values = f"""\
width = {width}              # outside, over both sides
inside = "width - 2 * board"
height = {height}
below = {below}              # depth at the bottom
above = {above}              # and at the top
screen_up = {row + zone / 2:g}          # up the face to the screen's middle
reveal = {radius:g}              # the sides' corners are rounded by as much
"""
    doorway = f", doorway = {brief.doorway:g}" if brief.doorway else ""
    cabinet = f"""\
# y is depth from the wall towards the visitor, z height over the box's lower edge.
[cabinet]
width = "width"
stock = "{brief.board.name}"
reveal = "reveal"
floor = {ROW_HEIGHT - ROW:g}             # hang it so: its lower edge this far above the floor
round = 4
staple = {min(1.9 * thickness, 35):.0f}
parts = "@PARTS@"
site = {{ use = "wall", eye = 400, children = {str(brief.children).lower()}{doorway} }}
profile = [
    {{ name = "A", to = [0, 0] }},
    {{ name = "B", to = ["below", 0], radius = {radius:g} }},
    {{ name = "C", to = ["above", "height"], radius = {radius:g} }},
    {{ name = "D", to = [0, "height"] }},
]

"""
    spots = [(f"inside / 2 + {x:g}", y) for x, y in controls.buttons]
    fittings = [fitting("screen", [("inside / 2", "screen_up")])]
    fittings += [fitting("button 24", spots)] if spots else []
    bevelled = 'edge = ["A", "B"]\nend = { butts = "face" }'
    port = fitting("grommet 60", [("inside / 2", 60)])
    upper = f'edge = ["D", "A"]\nstart = {{ butts = "top" }}\nlength = {RAIL:g}'
    lower = f'edge = ["D", "A"]\nend = {{ butts = "bottom" }}\nlength = {RAIL:g}'
    note = "Bevels are sawn at the bench. It hangs by its upper rail; screws into the wall to suit the wall."
    return (
        head(brief, note, values)
        + cabinet
        + side(brief, 4)
        + panel(brief, "face", 'edge = ["B", "C"]\ncleats = true', fittings, keys='face = "back"')
        + panel(brief, "bottom", bevelled, [port])
        + panel(brief, "top", 'edge = ["C", "D"]\nstart = { butts = "face" }')
        + panel(brief, "hanging rail", upper)
        + panel(brief, "lower rail", lower)
        + plate(brief, "face", "screen_up - 80", screen.depth)
    )
