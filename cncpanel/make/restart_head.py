"""What a program's head says of its machine, sheet and spot, and which files are the sheet's other runs."""

import re
from dataclasses import dataclass
from pathlib import Path

from cncpanel.errors import Place, Problem, ProblemsFound
from cncpanel.machine.read import shipped_machines
from cncpanel.proof.reader import lines_of

_MACHINE = re.compile(r"^\(MACHINE ([A-Z0-9-]+)\)", re.MULTILINE)
_STOCK = re.compile(r"\bSTOCK [^()]*?, ([\d.]+) X ([\d.]+) (MM|IN), THICKNESS ([\d.]+) (?:MM|IN)\b")
_WRAPPED = re.compile(r"\)\s*\(")
_TURNED = re.compile(r"MACHINE'S ZERO, LONG SIDE ALONG Y")  # no name in a program has an apostrophe
_RUN = re.compile(r"^(?P<stem>.*-sheet\d+(?:-side\d)?-run)(?P<run>\d+)of(?P<of>\d+)(?:-t\d+)?$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """`machine` is a shipped name; `stock` reads X x Y x thickness, program axes; `lines` are the comments."""

    machine: str | None
    stock: str | None
    lines: tuple[str, ...]


def head_of(text: str) -> Head:
    """What the comments before the first word say; None where they do not."""
    lines: list[str] = []
    for line in lines_of(text):
        if line.strip() in ("", "%"):
            continue
        if not line.startswith("(") or line.startswith("(MSG"):
            break
        lines.append(line)
    head = "\n".join(lines)
    machine = _MACHINE.search(head)
    named = machine[1].lower() if machine else None
    return Head(machine=named if named in shipped_machines() else None, stock=_stock(head), lines=tuple(lines))


def _stock(head: str) -> str | None:
    head = _WRAPPED.sub(" ", head)
    found = _STOCK.search(head)
    if not found:
        return None
    along, across, unit, thickness = found[1], found[2], found[3].lower(), found[4]
    sizes = (across, along, thickness) if _TURNED.search(head) else (along, across, thickness)
    return "x".join(f"{size}{'in' if unit == 'in' else 'mm'}" for size in sizes)


def runs_of_sheet(program: Path) -> tuple[Path, ...]:
    """All programs of the program's sheet in the order in which they are run, itself among them.

    Raises ProblemsFound where its name counts others that do not lie beside it.
    """
    found = _RUN.match(program.stem)
    if not found or int(found["of"]) == 1:
        return (program,)
    runs, missing = [], []
    for run in range(1, int(found["of"]) + 1):
        head = f"{found['stem']}{run}of{found['of']}"
        beside = [p for p in sorted(program.parent.glob(f"{_plain(head)}*.nc")) if _is_run(p, head)]
        if run == int(found["run"]):
            runs.append(program)
        elif len(beside) == 1:
            runs += beside
        else:
            text = f"run {run} of {found['of']} of its sheet is not beside it"
            missing.append(Problem(Place(str(program)), text, f"{head}.nc in {program.parent}"))
    if missing:
        raise ProblemsFound(missing)
    return tuple(runs)


def _is_run(path: Path, head: str) -> bool:
    return re.fullmatch(rf"{re.escape(head)}(-t\d+)?", path.stem) is not None


def _plain(name: str) -> str:
    """A name in which no sign stands for others."""
    return re.sub(r"([*?\[])", r"[\1]", name)
