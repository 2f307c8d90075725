"""The job's cut list: for the set of papers, and as a file by its own command."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path

from cncpanel.cabinet.derive import read_cabinet
from cncpanel.drawing.cut_list import HEAD, ListedPart, list_table, listed_parts
from cncpanel.errors import Gathering, Place, Problem, ProblemsFound
from cncpanel.job.read import ReadJob
from cncpanel.make.named import panel_named
from cncpanel.output.csv_table import csv_table, markdown_table
from cncpanel.panel.panel import Panel
from cncpanel.panel.resolve import resolve

KINDS: Mapping[str, Callable[[Sequence[str], Iterable[Sequence[str]]], bytes]] = {
    ".csv": csv_table,
    ".md": markdown_table,
}


def listed_of(read: ReadJob, panels: Sequence[Panel]) -> tuple[ListedPart, ...]:
    """The lines of these panels and of the cleats that go along them; cleats keep their numbers."""
    job = read.job
    notes = [job.panel[panel.index].note for panel in panels]
    names = {panel.name for panel in panels}
    rows = listed_parts(panels, notes, job.cleat, job.settings.rough)
    cleats = zip(rows[len(panels) :], job.cleat, strict=True)
    return (*rows[: len(panels)], *(row for row, cleat in cleats if cleat.panel in names))


def in_fractions(read: ReadJob) -> bool:
    """Whether the job asks for inches as fractions."""
    return read.job.settings.dimensions == "fraction"


def cut_list_out(job: Path, name: str | None, out: Path, gathering: Gathering) -> dict[Path, bytes]:
    """The whole list, or one panel's, as that file; raises ProblemsFound where that cannot be."""
    if out.suffix.lower() not in KINDS:
        raise ProblemsFound([Problem(Place(str(out)), "no cut list is of this kind", ", ".join(KINDS))])
    read = read_cabinet(job, gathering).read
    panels = resolve(read, gathering)
    gathering.stop_if_any()
    chosen = panels if name is None else (panel_named(name, panels, job),)
    return {out: KINDS[out.suffix.lower()](HEAD, list_table(listed_of(read, chosen), fractions=in_fractions(read)))}
