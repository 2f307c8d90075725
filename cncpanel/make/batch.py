"""Several jobs as one, so that their parts share sheets: every panel says whose it is, mistakes keep their own file.

What the cutting asks of the whole sheet must be the same in all of them; only the gap may differ (the widest is kept)
and how long better layouts are looked for.
"""

import hashlib
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from cncpanel.errors import Gathering, Place, Problem, ProblemsFound
from cncpanel.errors.lines import KeyPath
from cncpanel.errors.real_path import real_path
from cncpanel.errors.toml_file import TomlFile
from cncpanel.job.dxf_nest import DxfShape
from cncpanel.job.model import Job, JobHead, Packing, Panel, Settings, Stock
from cncpanel.job.program_name import program_name
from cncpanel.job.read import Order, ReadJob
from cncpanel.make.choice import Choice
from cncpanel.make.fit_flow import read_fitting

LONGEST = 60  # characters of a job's name
FREE = ("gap", "spare", "packing")  # settings that may differ
SAME = "jobs on common sheets need the same; or make them apart"


@dataclass(frozen=True, slots=True, kw_only=True)
class JoinedFile(TomlFile):
    """The files of several jobs as one: a key path of the whole leads to the file that it comes from."""

    files: tuple[TomlFile, ...]
    first_panel: tuple[int, ...]
    stocks: tuple[tuple[int, int], ...]

    def place(self, key_path: KeyPath = ()) -> Place:
        """In the file that wrote it; in the first one what all have in common."""
        if len(key_path) > 1 and key_path[0] == "panel":
            number = int(key_path[1])
            file = max(i for i, first in enumerate(self.first_panel) if first <= number)
            return self.files[file].place(("panel", number - self.first_panel[file], *key_path[2:]))
        if len(key_path) > 1 and key_path[0] == "stock":
            file, number = self.stocks[int(key_path[1])]
            return self.files[file].place(("stock", number, *key_path[2:]))
        return self.files[0].place(key_path)


def joined(choice: Choice, gathering: Gathering) -> ReadJob:
    """The chosen jobs as one; raises ProblemsFound with every mistake of every file, and what does not go together."""
    reads = _read_each(choice.together, gathering)
    gathering.found += _apart(reads)
    if choice.machine is None:
        gathering.found += _other_machines(reads)
    gathering.stop_if_any()
    return _Joining(reads, choice.name, gathering).whole()


def batch_path(paths: Sequence[Path], name: str | None) -> Path:
    """What stands for the file of the whole, beside the first: its layout may be kept under that name."""
    stem = name or f"{paths[0].stem}-and-{len(paths) - 1}-more"
    return paths[0].with_name(f"{stem.replace('/', '-')}.toml")


def _read_each(paths: Sequence[Path], gathering: Gathering) -> list[ReadJob]:
    """Every file is read before anything is told."""
    reads: list[ReadJob] = []
    alike = Counter(path.name for path in paths)
    for path in paths:
        own = Gathering()
        try:
            read = read_fitting(path, own).read
            reads.append(replace(read, file=_shown(read.file, path)) if alike[path.name] > 1 else read)
            gathering.found += own.found
        except ProblemsFound as found:
            gathering.found += found.problems
    gathering.stop_if_any()
    return reads


def _shown(file: TomlFile, path: Path) -> TomlFile:
    """Files of one name are told apart by their folders."""
    return replace(file, shown=str(path))


def _apart(reads: Sequence[ReadJob]) -> Iterator[Problem]:
    """What the jobs ask differently of the sheets that they are to share."""
    first = reads[0]
    for read in reads[1:]:
        for key in Settings.model_fields:
            if key not in FREE and getattr(read.job.settings, key) != getattr(first.job.settings, key):
                yield _differs(read, ("settings", key), f"settings.{key} is not what {first.file.shown} says")
        if read.job.job.units != first.job.job.units:
            yield _differs(read, ("job", "units"), f"{first.file.shown} is in {first.job.job.units}")
        if read.job.saw != first.job.saw:
            yield _differs(read, ("saw",), f"[saw] is not what {first.file.shown} says")
        yield from _other_stocks(read, reads)


def _other_machines(reads: Sequence[ReadJob]) -> Iterator[Problem]:
    first = reads[0]
    for read in reads[1:]:
        if _machine(read) != _machine(first):
            text = f"{first.file.shown} is for {first.job.job.machine}"
            yield Problem(read.file.place(("job", "machine")), text, "one for all with --machine")


def _machine(read: ReadJob) -> str | Path | None:
    """A shipped name, or the very file that the job means."""
    named = read.job.job.machine
    return real_path(read.file.path.parent / named) if named and named.endswith(".toml") else named


def _differs(read: ReadJob, key_path: KeyPath, text: str) -> Problem:
    return Problem(read.file.place(key_path), text, SAME)


def _other_stocks(read: ReadJob, reads: Sequence[ReadJob]) -> Iterator[Problem]:
    """Stocks of one name that are not one stock."""
    known: dict[str, tuple[Stock, str]] = {}
    for other in reads[: reads.index(read)]:
        for stock in other.job.stock:
            known.setdefault(stock.name, (stock, other.file.shown))
    for index, stock in enumerate(read.job.stock):
        if stock.name in known:
            theirs, shown = known[stock.name]
            keys = [k for k in Stock.model_fields if k != "count" and getattr(stock, k) != getattr(theirs, k)]
            if keys:
                text = f"{stock.name}: {', '.join(keys)} not as in {shown}"
                yield _differs(read, ("stock", index), text)


class _Joining:
    """One joining of jobs that go together."""

    def __init__(self, reads: Sequence[ReadJob], name: str | None, gathering: Gathering) -> None:
        self.reads, self.name, self.gathering = reads, name, gathering
        self.tags = _tags([read.job.job.name for read in reads])
        counts = [len(read.job.panel) for read in reads]
        self.firsts = tuple(sum(counts[:number]) for number in range(len(counts)))

    def whole(self) -> ReadJob:
        """All of it."""
        stocks, places = self._stocks()
        panels = tuple(panel for number in range(len(self.reads)) for panel in self._panels(number))
        file = self._file(places)
        self._check_names(panels, file)
        first = self.reads[0].job
        job: Job = first.model_copy(
            update={
                "job": self._head(),
                "settings": self._settings(),
                "stock": stocks,
                "panel": panels,
                "cabinet": None,
                **self._bench(),
            }
        )
        return ReadJob(job=job, file=file, shapes=self._shapes(), warnings=(), orders=self._orders())

    def _head(self) -> JobHead:
        heads = [read.job.job for read in self.reads]
        more = f" and {len(heads) - 1} more" if len(heads) > 1 else ""
        name = self.name or f"{heads[0].name[: LONGEST - len(more)]}{more}"
        told = "; ".join(f"{tag}: revision {head.revision}" for tag, head in zip(self.tags, heads, strict=True))
        dates = {head.date for head in heads}
        date = dates.pop() if len(dates) == 1 else ""
        return heads[0].model_copy(update={"name": name, "revision": "A", "date": date, "note": f"Jobs: {told}."})

    def _settings(self) -> Settings:
        asked = [read.job.settings for read in self.reads]
        gaps = [settings.gap for settings in asked if settings.gap is not None]
        packing = Packing(
            steps=max(s.packing.steps for s in asked),
            seed=asked[0].packing.seed,
            alternatives=max(s.packing.alternatives for s in asked),
        )
        spare = max(settings.spare for settings in asked)
        return asked[0].model_copy(update={"gap": max(gaps, default=None), "spare": spare, "packing": packing})

    def _stocks(self) -> tuple[tuple[Stock, ...], tuple[tuple[int, int], ...]]:
        """Every stock once, as many sheets at hand as the job says that knows of most; and where each stands."""
        found: dict[str, tuple[Stock, tuple[int, int]]] = {}
        for number, read in enumerate(self.reads):
            for index, stock in enumerate(read.job.stock):
                known, place = found.get(stock.name, (stock, (number, index)))
                found[stock.name] = known.model_copy(update={"count": max(known.count, stock.count)}), place
        return tuple(stock for stock, _ in found.values()), tuple(place for _, place in found.values())

    def _panels(self, number: int) -> Iterator[Panel]:
        for panel in self.reads[number].job.panel:
            yield panel.model_copy(update={"name": self._tagged(number, panel.name)})

    def _tagged(self, number: int, name: str) -> str:
        return f"{self.tags[number]}: {name}"

    def _bench(self) -> Mapping[str, object]:
        """What the bench does, whose it is said with each."""
        jobs = [(number, read.job) for number, read in enumerate(self.reads)]
        return {
            kind: tuple(
                item.model_copy(update={"name": self._tagged(number, item.name)})
                for number, job in jobs
                for item in getattr(job, kind)
            )
            for kind in ("hardware", "consumable")
        } | {
            "cleat": tuple(
                cleat.model_copy(update={"panel": self._tagged(number, cleat.panel)})
                for number, job in jobs
                for cleat in job.cleat
            ),
            "assembly": tuple(
                step.model_copy(
                    update={
                        "panels": tuple(self._tagged(number, name) for name in step.panels),
                        "to": tuple(self._tagged(number, name) for name in step.to),
                    }
                )
                for number, job in jobs
                for step in job.assembly
            ),
        }

    def _shapes(self) -> Mapping[KeyPath, tuple[DxfShape, ...]]:
        return {
            ("panel", int(key[1]) + first, *key[2:]): shapes
            for first, read in zip(self.firsts, self.reads, strict=True)
            for key, shapes in read.shapes.items()
        }

    def _file(self, stocks: tuple[tuple[int, int], ...]) -> JoinedFile:
        files = tuple(read.file for read in self.reads)
        return JoinedFile(
            path=files[0].path,
            shown=", ".join(file.shown for file in files),
            data={"job": {"machine": self.reads[0].job.job.machine}},
            lines={},
            sha256=hashlib.sha256(" ".join([*(file.sha256 for file in files), self.name or ""]).encode()).hexdigest(),
            files=files,
            first_panel=self.firsts,
            stocks=stocks,
        )

    def _orders(self) -> tuple[Order, ...]:
        return tuple(
            Order(
                tag=tag,
                head=read.job.job,
                file=read.file.shown,
                sha256=read.file.sha256,
                first=first,
                count=len(read.job.panel),
            )
            for tag, read, first in zip(self.tags, self.reads, self.firsts, strict=True)
        )

    def _check_names(self, panels: Sequence[Panel], file: JoinedFile) -> None:
        """What is told apart in the jobs stays so in a program."""
        seen: dict[str, int] = {}
        for index, panel in enumerate(panels):
            first = seen.setdefault(program_name(panel.name), index)
            if first != index:
                text = f'"{panel.name}" and "{panels[first].name}" are both {program_name(panel.name)} in a program'
                self.gathering.problem(file.place(("panel", index, "name")), text)
        self.gathering.stop_if_any()


def _tags(names: Sequence[str]) -> list[str]:
    """The jobs' names, numbered where they would be one in a program."""
    reduced = [program_name(name) for name in names]
    count: Counter[str] = Counter()
    tags = []
    for name, plain in zip(names, reduced, strict=True):
        count[plain] += 1
        tags.append(f"{name} {count[plain]}" if reduced.count(plain) > 1 else name)
    return tags
