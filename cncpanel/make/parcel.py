"""A job as a parcel: its text and every file that it refers to, so that it can be made where nothing is shared."""

import tempfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath
from typing import Any

from cncpanel import __version__
from cncpanel.errors import Gathering, ProblemsFound
from cncpanel.errors.toml import read_toml
from cncpanel.make.choice import Choice
from cncpanel.make.told_set import ToldSet, told_problems, told_set


@dataclass(frozen=True, slots=True, kw_only=True)
class Parcel:
    """`files` by their names below the job's folder; `machine` is a machine's file, name and bytes, or None."""

    job: str
    shown: str
    files: Mapping[str, bytes]
    machine: tuple[str, bytes] | None
    choice: Choice


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeSet:
    """What came of a parcel: every file of the set (none where the job cannot be used) and what is to be told."""

    version: str
    told: ToldSet
    files: Mapping[str, bytes]


def packed(job: Path, choice: Choice) -> Parcel:
    """The job and what it refers to; raises ProblemsFound where it cannot even be read."""
    data = read_toml(job).data
    files = {job.name: job.read_bytes()}
    for name in _referred(data):
        path = PurePosixPath(name)
        if not path.is_absolute() and ".." not in path.parts and (job.parent / path).is_file():
            files[str(path)] = (job.parent / path).read_bytes()
    kept = job.with_suffix(".layout.json")
    if kept.is_file():
        files[kept.name] = kept.read_bytes()
    machine = _machine(data, job, choice)
    plain = replace(choice, machine=None if machine else choice.machine)
    return Parcel(job=job.name, shown=str(job), files=files, machine=machine, choice=plain)


def _referred(data: Any) -> Iterator[str]:
    """The file of every `dxf` table, wherever it stands."""
    if isinstance(data, dict):
        drawing = data.get("dxf")
        if isinstance(drawing, dict) and isinstance(drawing.get("file"), str):
            yield drawing["file"]
        yield from (name for value in data.values() for name in _referred(value))
    elif isinstance(data, list):
        yield from (name for value in data for name in _referred(value))


def _machine(data: Mapping[str, Any], job: Path, choice: Choice) -> tuple[str, bytes] | None:
    """A machine's own file, where the job or the command names one that is there."""
    head = data.get("job")
    named = head.get("machine") if isinstance(head, dict) else None
    name, beside = (choice.machine, Path()) if choice.machine is not None else (named, job.parent)
    if not isinstance(name, str) or not name.endswith(".toml"):
        return None
    path = beside / name
    return (path.name, path.read_bytes()) if path.is_file() else None


def made_of(parcel: Parcel) -> MadeSet:
    """Make the parcel's set in a folder of its own that is gone afterwards."""
    with tempfile.TemporaryDirectory(prefix="cncpanel-") as folder:
        job = _unpacked(parcel, Path(folder))
        choice = parcel.choice
        if parcel.machine is not None:
            choice = replace(choice, machine=str(Path(folder) / "machine" / parcel.machine[0]))
        return _made(job, parcel, choice)


def _unpacked(parcel: Parcel, folder: Path) -> Path:
    for name, content in parcel.files.items():
        _put(folder / "job" / name, content)
    if parcel.machine is not None:
        _put(folder / "machine" / parcel.machine[0], parcel.machine[1])
    return folder / "job" / parcel.job


def _put(path: Path, content: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)


def _made(job: Path, parcel: Parcel, choice: Choice) -> MadeSet:
    from cncpanel.make.files import files
    from cncpanel.make.flow import make

    try:
        made = make(job, choice, lambda _: None)
        return MadeSet(version=__version__, told=told_set(parcel.shown, made), files=files(made, choice))
    except ProblemsFound as found:
        return MadeSet(version=__version__, told=told_problems(parcel.shown, found), files={})


def refuse_store(job: Path, gathering: Gathering) -> None:
    """Offcuts lie in one shop's file: a job that draws on them is not made elsewhere."""
    try:
        file = read_toml(job)
    except ProblemsFound:
        return  # told with that job
    settings = file.data.get("settings")
    offcuts = settings.get("offcuts") if isinstance(settings, dict) else None
    if isinstance(offcuts, dict) and "file" in offcuts:
        text = "offcuts cannot be drawn on from a cluster: nothing is shared there"
        gathering.problem(file.place(("settings", "offcuts", "file")), text, "make this job without --cluster")
