"""Fittings become plain features of their panels, and rows of what is bought."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace

from cncpanel.cabinet.fitted import Feature, Fitted, cut_outs
from cncpanel.errors.lines import KeyPath
from cncpanel.job.assembly import Hardware
from cncpanel.job.feature import Hole, Opening
from cncpanel.job.model import Job, Panel
from cncpanel.job.read import ReadJob


def with_fittings(read: ReadJob, found: Iterable[Fitted]) -> ReadJob:
    """The job with every fitting's cut-outs among its panel's features; each is told at its fitting."""
    stocks = {stock.name: stock for stock in read.job.stock}
    added: dict[int, list[tuple[Fitted, Feature]]] = defaultdict(list)
    bought: dict[str, int] = defaultdict(int)
    for one in found:
        panel = read.job.panel[one.index]
        copies = panel.copies + panel.mirrored
        bought[one.part.title or one.part.name] += len(one.fitting.at) * copies
        added[one.index] += [(one, feature) for feature in cut_outs(one, stocks[panel.stock])]
    panels = tuple(_with(panel, added[index]) for index, panel in enumerate(read.job.panel))
    hardware = tuple(Hardware(name=_short(name), count=count) for name, count in bought.items())
    job: Job = read.job.model_copy(update={"panel": panels, "hardware": (*read.job.hardware, *hardware)})
    lines = dict(read.file.lines)
    for index, features in added.items():
        lines.update(_lines(read.job.panel[index], index, features))
    return replace(read, job=job, file=replace(read.file, lines=lines))


def _short(name: str) -> str:
    return name if len(name) <= 60 else name[:57] + "..."


def _kind(feature: Feature) -> str:
    return "hole" if isinstance(feature, Hole) else "opening" if isinstance(feature, Opening) else "recess"


def _with(panel: Panel, added: Iterable[tuple[Fitted, Feature]]) -> Panel:
    update: dict[str, object] = {}
    for kind in ("hole", "opening", "recess"):
        own = tuple(feature for _, feature in added if _kind(feature) == kind)
        if own:
            update[kind] = (*getattr(panel, kind), *own)
    if "recess" in update and "face" not in panel.model_fields_set:
        update["face"] = "back"
    return panel.model_copy(update=update) if update else panel


def _lines(panel: Panel, index: int, added: Iterable[tuple[Fitted, Feature]]) -> Iterator[tuple[KeyPath, int]]:
    counts = {"hole": len(panel.hole), "opening": len(panel.opening), "recess": len(panel.recess)}
    for one, feature in added:
        yield ("panel", index, _kind(feature), counts[_kind(feature)]), one.place.line
        counts[_kind(feature)] += 1
