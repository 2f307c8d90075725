"""The set's first page: which job, what can hurt somebody, what the set holds."""

from cncpanel.drawing.paper import Cautions, Contents, Heading, Piece, Sentence, Table
from cncpanel.job.model import JobHead
from cncpanel.machine.model import Machine
from cncpanel.units import Unit

UNITS: dict[Unit, str] = {"mm": "millimetres", "inch": "inches"}
SET_CAUTIONS = (
    "This set belongs to one job file, named by its checksum on every page. Another checksum is another set: throw "
    "the old one away before you print the new one.",
    "Measure, then cut: the boards with a caliper, the cutters too. A reading that differs from the one in this set "
    "makes grooves tight and tabs thin.",
    "Bench: safety glasses, ear defenders, dust mask and extraction. Unplug before a blade or a bit is changed. Clamp "
    "the work; both hands stay behind the cut.",
    "Whatever carries mains voltage is for a qualified person.",
)


def cover_pieces(
    head: JobHead, machine: Machine | None, checksum: str, *, proven: bool, sheets: int, panels: int
) -> list[Piece]:
    """The cover; without a machine the job is for the saw."""
    unproven = "NOT PROVEN: DO NOT CUT. No program of this job was written; index.html says why."
    told = (
        ("Revision", head.revision),
        ("Date", head.date or "none given"),
        ("Job file, SHA-256", checksum),
        ("Machine", machine.title if machine else "a table saw: nothing here is for a router"),
        ("Lengths", f"written in {UNITS[head.units]}"),
        ("Holds", f"{panels} different panel{_s(panels)} from {sheets} sheet{_s(sheets)}"),
    )
    return [
        Heading(f"{head.name}: shop papers", 1),
        Table(head=("Job", head.name), rows=told, shares=(40, 140)),
        *([Sentence(head.note)] if head.note else []),
        Cautions(SET_CAUTIONS if proven else (unproven, *SET_CAUTIONS)),
        Heading("Contents"),
        Contents(),
    ]


def _s(count: int) -> str:
    return "" if count == 1 else "s"
