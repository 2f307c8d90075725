"""Where panels stand whose position names the way they look, and the sides themselves."""

from cncpanel.cabinet.space import Frame, Vector
from cncpanel.cabinet.standing import Standing

_LEFT, _FRONT, _UP = Vector(1.0, 0.0, 0.0), Vector(0.0, 1.0, 0.0), Vector(0.0, 0.0, 1.0)
_RIGHT, _BACK, _DOWN = _LEFT.scaled(-1.0), _FRONT.scaled(-1.0), _UP.scaled(-1.0)

_LOOKS = {  # where the show face looks: the panel's x and y as seen from there
    "left": (_FRONT, _UP, _LEFT),
    "right": (_BACK, _UP, _RIGHT),
    "front": (_RIGHT, _UP, _FRONT),
    "back": (_LEFT, _UP, _BACK),
    "up": (_RIGHT, _BACK, _UP),
    "down": (_RIGHT, _FRONT, _DOWN),
}


def facing_frame(facing: str, at: tuple[float, float, float]) -> Frame:
    """A panel whose show face looks that way, its lower left at `at`."""
    along, up, out = _LOOKS[facing]
    return Frame(origin=Vector(*at), along=along, up=up, out=out)


def side_frame(width: float) -> Frame:
    """The visitor's left side: its x is the cabinet's y, its y is z."""
    return facing_frame("left", (width / 2, 0.0, 0.0))


def standing_frame(standing: Standing, width: float, middle: float) -> Frame:
    """A panel that runs from side to side: x to the visitor's right, y along its line."""
    start, along, outwards = standing.line.at(standing.low), standing.line.along, standing.line.outwards
    return Frame(
        origin=Vector(middle + width / 2, start.x, start.y),
        along=_RIGHT,
        up=Vector(0.0, along.x, along.y),
        out=Vector(0.0, outwards.x, outwards.y),
    )
