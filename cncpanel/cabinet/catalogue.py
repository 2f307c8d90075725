"""The catalogue of bought-in parts: files that come with the program, and the shop's own over them."""

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from pydantic import ValidationError

from cncpanel.cabinet.part import Part, PartFile
from cncpanel.errors import Gathering, Problem, ProblemsFound
from cncpanel.errors.real_path import real_path
from cncpanel.errors.toml import problems_from_validation, read_toml
from cncpanel.errors.validation import quoted
from cncpanel.job.read import ReadJob

_SHIPPED = Path(__file__).resolve().parent / "bought_in"


@cache
def shipped_parts() -> Mapping[str, Part]:
    """The parts that come with the program, by name."""
    return {part.name: part for file in sorted(_SHIPPED.glob("*.toml")) for part in read_parts(file)}


def read_parts(path: Path) -> tuple[Part, ...]:
    """The parts of one file; raises ProblemsFound with every mistake of the file, a name twice among them."""
    file = read_toml(path)
    try:
        parts = PartFile.model_validate(file.data).part
    except ValidationError as error:
        raise ProblemsFound(problems_from_validation(error, file, PartFile)) from None
    names = [part.name for part in parts]
    twice = [n for n, name in enumerate(names) if name in names[:n]]
    if twice:
        told = [Problem(file.place(("part", n, "name")), f"{quoted(names[n])} is another part's name") for n in twice]
        raise ProblemsFound(told)
    return parts


def catalogue(read: ReadJob, gathering: Gathering) -> Mapping[str, Part]:
    """The shipped parts and the shop's own, which rule; a shop's file that cannot be read is told."""
    cabinet = read.job.cabinet
    if cabinet is None or cabinet.parts is None:
        return shipped_parts()
    place = read.file.place(("cabinet", "parts"))
    path = read.file.path.parent / cabinet.parts
    if not real_path(path).is_relative_to(real_path(read.file.path.parent)):
        gathering.problem(place, f"{quoted(cabinet.parts)} lies outside the job's folder", "a file beside the job")
        return shipped_parts()
    try:
        own = read_parts(path)
    except ProblemsFound as found:
        gathering.found += found.problems
        return shipped_parts()
    return {**shipped_parts(), **{part.name: part for part in own}}
