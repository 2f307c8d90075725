"""The job file that `new` writes: small, complete, and commented so that it can be grown into one's own."""

import json

_TEXT = """\
# A donation stand: a post of two sides and a front, with a slot for coins. Change it into your own job.
# Lengths are numbers in the job's unit, or texts with their own ("3/4 in", "10 7/8 in", "2.5 cm"), or plain
# arithmetic over [values] (+ - * / min max sqrt sin cos tan pi).
# Everything on a panel is drawn as seen from its show face, from the lower left of its outline.

[job]
name = @NAME@
units = "mm"             # or "inch"
machine = "shop-router"  # a shipped machine (see `cncpanel machines`), or a machine file beside this one
revision = "A"

[values]
board = 18               # nominal thickness
width = 300              # of the stand, outside
height = 900
dado = "board / 3"       # how deep the front sits in the sides

[[stock]]
name = "mdf 18"
material = "mdf"         # mdf, particleboard, plywood, softwood, hardwood, acrylic
thickness = "board"
measured = [17.9, 18.1]  # caliper readings: the largest rules depths and dadoes, the smallest tabs
sheet = [2440, 1220]
count = 1                # sheets at hand
margin = 10              # kept free along the sheet's edges

# The sides: one as drawn and one mirrored. The dado lies on the inner face, so they are cut from the back.
[[panel]]
name = "side"
stock = "mdf 18"
copies = 1
mirrored = 1
face = "back"
outline = [
    [0, 0],
    [250, 0],
    { to = [250, "height - 100"], radius = 20 },  # a rounded corner
    { to = [200, "height"], radius = 20 },
    [0, "height"],
]

[[panel.groove]]
name = "dado for the front"
path = [["250 - 40", 0], ["250 - 40", "height - 120"]]
wall = "left"            # the groove lies to the left of its path
houses = "mdf 18"        # as wide as that stock's thickest reading, and the clearance
clearance = 0.2
depth = "dado"
ends = ["open", "round"] # runs out at the floor, stops short of the top

[[panel.mark]]
text = "SIDE"
at = [60, 60]

# The front stands between the sides, in their dadoes.
[[panel]]
name = "front"
stock = "mdf 18"
size = ["width - 2 * board + 2 * dado - 1", "height - 130"]

[[panel.opening]]
name = "coin slot"
centre = ["(width - 2 * board + 2 * dado - 1) / 2", "height - 250"]
size = [40, 6]
radius = 3               # half the width: round ends

[[panel.recess]]
name = "sign"            # a plate lies flush in it
centre = ["(width - 2 * board + 2 * dado - 1) / 2", "height - 360"]
size = [160, 90]
radius = 6
depth = 3

# A shelf for the coin box.
[[panel]]
name = "shelf"
stock = "mdf 18"
size = ["width - 2 * board", 180]

[[panel.hole]]
name = "screws of the coin box"
centre = ["(width - 2 * board) / 2", 90]
diameter = 4.5
grid = { columns = 2, rows = 2, pitch = [120, 80] }

[[panel.edge]]
side = "bottom"
round = 3
bench = true             # done by hand; listed on the set-up sheet
"""


def starter_job(name: str) -> str:
    """A commented job file for a job called `name`; it reads and checks without a mistake."""
    quoted = json.dumps(name, ensure_ascii=False).replace("\x7f", "\\u007f")  # TOML's one escape more than JSON's
    return _TEXT.replace("@NAME@", quoted)
