"""Where blind holes of the other face are drilled before a sheet is turned over, against coordinates by hand.

Source: closed form. A sheet L by W that is turned over about its long middle line takes (x, y) to (x, W - y), about
its short one to (L - x, y). This machine's X and Y run along the sheet's own.
"""

import re
from pathlib import Path

import pytest

from cncpanel.make.choice import Choice
from cncpanel.make.flow import make

# L = 320, W = 220. The panel fills the sheet but for its margin of 25, so that a place (u, v) of it, seen from its
# show face, lies at (25 + u, 25 + v): the two holes at (65, 55) and (255, 85).
JOB = """
[job]
name = "Mirror"
machine = "shop-router"
[settings.turning]
axis = "AXIS"
[[stock]]
name = "mdf"
material = "mdf"
thickness = 18
sheet = [320, 220]
count = 1
margin = 25
[[panel]]
name = "lid"
stock = "mdf"
size = [270, 170]
hole = [
    {centre = [40, 30], diameter = 4.5, depth = 5, face = "back"},
    {centre = [230, 60], diameter = 4.5, depth = 5, face = "back"},
]
"""
# before the turn about x they lie at (65, 165) and (255, 135), about y at (255, 55) and (65, 85)
BY_HAND = {"x": {(65.0, 165.0), (255.0, 135.0)}, "y": {(255.0, 55.0), (65.0, 85.0)}}
NOT_TURNED = {(65.0, 55.0), (255.0, 85.0)}


def drilled(text: str) -> set[tuple[float, float]]:
    """All (X, Y) at which a program goes under the sheet's top, read word by word: a bored hole ends at its middle."""
    at, found = {"X": 0.0, "Y": 0.0, "Z": 99.0}, set()
    for line in re.sub(r"\(.*?\)", "", text).splitlines():
        if "G53" in line:
            continue
        at.update({word: float(value) for word, value in re.findall(r"([XYZ])(-?\d+\.?\d*)", line)})
        if at["Z"] < 0:
            found.add((round(at["X"], 3), round(at["Y"], 3)))
    return found


@pytest.mark.parametrize("axis", ["x", "y"])
def test_holes_of_the_other_face_are_drilled_at_their_mirror_images(axis: str, tmp_path: Path) -> None:
    path = tmp_path / "mirror.toml"
    path.write_text(JOB.replace("AXIS", axis), encoding="utf-8")
    (second,) = make(path, Choice(), lambda _: None).sheets
    (part,) = second.sheet.parts
    assert (part.x, part.y, part.angle_deg) == (25, 25, 0)
    assert second.before is not None
    places = set().union(*(drilled(written.text) for written in second.before.programs))
    assert places & (BY_HAND["x"] | BY_HAND["y"] | NOT_TURNED) == BY_HAND[axis]
