"""What the person who runs the command chose."""

from dataclasses import dataclass
from pathlib import Path

from cncpanel.errors import Place, Problem, ProblemsFound
from cncpanel.job.model import Job
from cncpanel.job.paper import MadeKind

EVERYTHING: tuple[MadeKind, ...] = ("programs", "dxf", "sheets", "templates", "artwork")
SAW: MadeKind = "saw"


@dataclass(frozen=True, slots=True)
class Choice:
    """Options that change what is made. `machine` stands in for the job's own, `only` for its settings.make.

    `steps`, `seed` and `alternatives` stand in for its settings.packing; `seconds` cap the search, `cores` how many
    processes it takes at once; `anew` passes a kept layout over.
    `offcuts` stands in for the job's own store of them; pieces are kept for the set that is to lie in `folder`.
    `together` are job files that are made as one, called `name`.
    """

    machine: str | None = None
    only: tuple[MadeKind, ...] = ()
    steps: int | None = None
    seed: int | None = None
    alternatives: int | None = None
    seconds: float | None = None
    cores: int | None = None
    anew: bool = False
    offcuts: Path | None = None
    folder: Path | None = None
    together: tuple[Path, ...] = ()
    name: str | None = None

    def kinds(self, job: Job) -> frozenset[MadeKind]:
        """What is written of the job; a saw plan besides everything else where it has a saw."""
        everything = (*EVERYTHING, SAW) if job.saw else EVERYTHING
        return frozenset(self.only or job.settings.make or everything)

    def is_everything(self, job: Job) -> bool:
        """Whether nothing was picked out."""
        return not self.only and job.settings.make is None


def chosen(only: str | None) -> tuple[MadeKind, ...]:
    """The kinds named in `--only`, commas between; () where it is absent. Raises ProblemsFound for another word."""
    words = [word.strip() for word in only.split(",")] if only is not None else []
    kinds = {str(kind): kind for kind in (*EVERYTHING, SAW)}
    strange = [
        Problem(Place("--only"), f'"{word}" is not made', ", ".join(kinds)) for word in words if word not in kinds
    ]
    if strange:
        raise ProblemsFound(strange)
    return tuple(kinds[word] for word in words)
