"""A small job with every kind of cut, made once for each machine, for the tests of what people read."""

import tempfile
from functools import cache
from pathlib import Path

from cncpanel.make.choice import Choice
from cncpanel.make.flow import Made, make

MACHINES = ("desktop-router", "nesting-router", "shop-router", "shop-router-inch")
ODD = ("Zażółć Ω", "<script>alert(1)</script>", "a&b \"c\" 'd'", "Größe 🛠", "(MSG,x) %", "x" * 60)

JOB = """
[job]
name = @NAME@
units = "@UNITS@"
machine = "@MACHINE@"
date = "@DATE@"
note = @NOTE@

[[stock]]
name = "ply & more"
material = "plywood"
thickness = "12 mm"
measured = ["11.9 mm", "12.1 mm"]
sheet = ["600 mm", "500 mm"]
count = 1

[[panel]]
name = @PANEL@
stock = "ply & more"
size = ["300 mm", "200 mm"]
radius = "8 mm"

[[panel.opening]]
name = "window"
at = ["60 mm", "60 mm"]
size = ["80 mm", "60 mm"]

[[panel.recess]]
name = "sign"
at = ["180 mm", "60 mm"]
size = ["80 mm", "50 mm"]
radius = "6 mm"
depth = "3 mm"

[[panel.hole]]
name = "pins"
centre = ["30 mm", "30 mm"]
diameter = "10 mm"
row = { count = 3, pitch = "40 mm" }

[[panel.edge]]
side = "top"
round = "3 mm"
bench = true

[[panel]]
name = "clip"
stock = "ply & more"
size = ["40 mm", "24 mm"]
copies = 3
mirrored = 1
face = "back"
"""


def job_text(*, machine: str, units: str = "mm", name: str = "Sample", panel: str = "board", note: str = "") -> str:
    """The job file's text."""
    words = {"NAME": _quoted(name), "UNITS": units, "MACHINE": machine, "DATE": "", "NOTE": _quoted(note)}
    text = JOB
    for key, value in {**words, "PANEL": _quoted(panel)}.items():
        text = text.replace(f"@{key}@", value)
    return text


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


def made_in(folder: Path, **choices: str) -> Made:
    """The job made from a file in `folder`."""
    path = Path(tempfile.mkdtemp(dir=folder)) / "sample.toml"  # what is remembered keeps the file it was made from
    path.write_text(job_text(**choices), encoding="utf-8")
    return make(path, Choice(), lambda _: None)


@cache
def odd_sample(folder: Path, name: str) -> Made:
    """The job with an odd name for itself, its first panel and its note, made once a session for each name."""
    return made_in(folder, machine="nesting-router", name=name, panel=name, note=name)


@cache
def sample(folder: Path, machine: str, units: str = "mm") -> Made:
    """The plain job, made once a session for each machine and unit."""
    return made_in(folder, machine=machine, units=units)
