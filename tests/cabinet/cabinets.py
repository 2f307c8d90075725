"""Small cabinets for the tests: a box 300 wide, 200 deep, 400 high, of 18 mm board, with panels as a test wants."""

from pathlib import Path

from cncpanel.cabinet.derive import read_cabinet
from cncpanel.cabinet.piece import Assembly
from cncpanel.job.model import Panel
from cncpanel.job.read import ReadJob

HEAD = """
[job]
name = "Box"
machine = "shop-router"

[[stock]]
name = "board"
material = "mdf"
thickness = 18
measured = [18.0]
sheet = [2440, 1220]
count = 4

[cabinet]
width = 300
stock = "board"
profile = [
    { name = "A", to = [0, 0] },
    { name = "B", to = [200, 0] },
    { name = "C", to = [200, 400] },
    { name = "D", to = [0, 400] },
]
"""
SIDE = """
[[panel]]
name = "side"
stock = "board"
[panel.position]
side = "both"
"""


def panel(name: str, position: str, more: str = "") -> str:
    return f'\n[[panel]]\nname = "{name}"\nstock = "board"\n{more}\n[panel.position]\n{position}\n'


def cabinet(folder: Path, *panels: str, head: str = HEAD, cabinet_keys: str = "") -> tuple[ReadJob, Assembly]:
    path = folder / "box.toml"
    head = head.replace("width = 300\n", f"width = 300\n{cabinet_keys}\n")
    path.write_text(head + SIDE + "".join(panels), encoding="utf-8")
    whole = read_cabinet(path)
    assert whole.assembly is not None
    return whole.read, whole.assembly


def named(read: ReadJob, name: str) -> Panel:
    return next(panel for panel in read.job.panel if panel.name == name)
