"""The pieces of TOML that forms are written from."""

import json
from collections.abc import Iterable

from cncpanel.cabinet.brief import Brief

FOOT, MINUS_FOOT = '"width / 2 - 58"', '"58 - width / 2"'  # x of the feet


def quoted(text: str) -> str:
    """A TOML string."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def head(brief: Brief, note: str, values: str) -> str:
    """Job, values and stock."""
    board = brief.board
    measured = ", ".join(f"{reading:g}" for reading in board.measured)
    return f"""\
# {brief.base_form} for: {brief.name.replace(chr(10), " ")}
# Written from a brief; every size is a value below or follows from one. Change them and run `cncpanel fit` again.

[job]
name = {quoted(brief.name)}
units = "mm"
machine = {quoted(brief.machine)}
revision = "A"
note = {quoted(note)}

[values]
board = {board.thickness:g}
{values}

[settings]
least_web = 4
least_floor = 2

[[stock]]
name = {quoted(board.name)}
material = "{board.material}"
thickness = "board"
measured = [{measured}]
sheet = [{board.sheet[0]:g}, {board.sheet[1]:g}]
count = {board.count}
margin = 5

"""


def panel(brief: Brief, name: str, position: str, features: Iterable[str] = (), keys: str = "") -> str:
    """One panel with its position and features."""
    more = f"{keys}\n" if keys else ""
    tail = "".join(f"\n{feature.strip()}\n" for feature in features)
    stock = quoted(brief.board.name)
    return f"[[panel]]\nname = {quoted(name)}\nstock = {stock}\n{more}\n[panel.position]\n{position.strip()}\n{tail}\n"


def fitting(part: str, spots: Iterable[tuple[str | float, str | float]], more: str = "") -> str:
    """A part at its middles."""
    at = ", ".join(f"[{_number(x)}, {_number(y)}]" for x, y in spots)
    return f"[[panel.fitting]]\npart = {quoted(part)}\nat = [{at}]\n{more}".rstrip()


def _number(value: str | float) -> str:
    return quoted(value) if isinstance(value, str) else f"{value:g}"


def side(brief: Brief, rounding: float) -> str:
    """Both sides, cut from the back where housings are, their rims rounded by hand once the cabinet is glued."""
    mark = '[[panel.mark]]\ntext = "SIDE"\nat = [60, 30]\nheight = 10'
    faces = "both" if brief.board.thickness > 2 * rounding + 2 else "show"
    edge = f'[[panel.edge]]\nround = {rounding:g}\nfaces = "{faces}"\nbench = true'
    return panel(brief, "side", 'side = "both"', [mark, edge], keys='face = "back"')


def plate(brief: Brief, front: str, start: str, depth: float) -> str:
    """The plate that a screen hangs on, behind the panel it looks through."""
    position = f"behind = {quoted(front)}\nby = {depth:g}\nstart = {{ at = {quoted(start)} }}\nlength = 160"
    return panel(brief, "monitor plate", position, [fitting("mount 100", [("inside / 2", 80)])])
