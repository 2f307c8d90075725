"""What changed between two revisions of a job: which parts to cut again, which to work on, which are new or gone."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from cncpanel.geometry.contour import Contour
from cncpanel.job.model import Job
from cncpanel.panel.panel import Panel

Deed = Literal["new", "gone", "recut", "rework", "same"]
DECIMALS = 2  # of a millimetre: nothing finer is a change that a shop can see
SAME = 0.005  # mm and mm2 per mm: half of that


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One panel of either revision: what is to be done about it, and why, in sentences."""

    panel: str
    deed: Deed
    copies: int
    why: tuple[str, ...]

    def __str__(self) -> str:
        """A line for the screen."""
        said = f"{self.deed:6} {self.copies} x {self.panel}"
        return f"{said}: {'; '.join(self.why)}" if self.why else said


@dataclass(frozen=True, slots=True)
class _Work:
    """One thing cut into a panel: its kind and name, where and how large in numbers, and how deep (None: through)."""

    kind: str
    name: str
    numbers: tuple[float, ...]
    depth: float | None


def changes(old: Sequence[Panel], new: Sequence[Panel]) -> tuple[Change, ...]:
    """A change for each panel by name, in the new revision's order, then those that are gone."""
    before = {panel.name: panel for panel in old}
    names = {panel.name for panel in new}
    found = [_change(before.get(panel.name), panel) for panel in new]
    gone = [
        Change(panel=panel.name, deed="gone", copies=panel.copies + panel.mirrored, why=())
        for panel in old
        if panel.name not in names
    ]
    return (*found, *gone)


def _change(old: Panel | None, new: Panel) -> Change:
    count = new.copies + new.mirrored
    if old is None:
        return Change(panel=new.name, deed="new", copies=count, why=())
    spoiled, added = list(_spoiled(old, new)), list(_added(old, new))
    if spoiled:
        return Change(panel=new.name, deed="recut", copies=count, why=(*spoiled, *added))
    if added:
        return Change(panel=new.name, deed="rework", copies=count, why=tuple(added))
    more = _more(old, new)
    if more > 0:
        return Change(panel=new.name, deed="new", copies=more, why=(f"{more} more of the same",))
    why = (f"{-more} fewer are needed",) if more < 0 else ()
    return Change(panel=new.name, deed="same", copies=count, why=why)


def _more(old: Panel, new: Panel) -> int:
    """How many more parts there are; a mirrored one is no copy."""
    copies, mirrored = new.copies - old.copies, new.mirrored - old.mirrored
    return max(copies, 0) + max(mirrored, 0) or min(copies, 0) + min(mirrored, 0)


def _spoiled(old: Panel, new: Panel) -> Iterator[str]:
    """What the old part cannot become: another board or outline, something that is cut already and no longer wanted."""
    if old.stock.name != new.stock.name or abs(old.stock.thickest - new.stock.thickest) > SAME:
        boards = [f"{panel.stock.name}, {panel.stock.thickest:g}" for panel in (new, old)]
        yield f"its board is {boards[0]}, instead of {boards[1]}"
    if old.face != new.face:
        yield f"it is cut from its {new.face} face"
    if _size(old) != _size(new):
        yield f"it is {_said(_size(new))} instead of {_said(_size(old))}"
    elif _form(old.outline) != _form(new.outline):
        yield "its outline has another shape"
    for work in _without(_works(old), _works(new)):
        other = next((w for w in _works(new) if (w.kind, w.name) == (work.kind, work.name)), None)
        if other is None:
            yield f'{work.kind} "{work.name}" is no longer wanted'
        elif not _only_deeper(work, other):
            yield f'{work.kind} "{work.name}" {_difference(work, other)}'


def _added(old: Panel, new: Panel) -> Iterator[str]:
    """What can still be cut into the old part."""
    for work in _without(_works(new), _works(old)):
        other = next((w for w in _works(old) if (w.kind, w.name) == (work.kind, work.name)), None)
        if other is None:
            yield f'{work.kind} "{work.name}" is new'
        elif _only_deeper(other, work):
            yield f'{work.kind} "{work.name}" is {_deep(work)} instead of {_deep(other)}'


def _only_deeper(old: _Work, new: _Work) -> bool:
    deeper = new.depth is None or (old.depth is not None and new.depth > old.depth)
    return old.numbers == new.numbers and old.depth is not None and deeper


def _deep(work: _Work) -> str:
    return "through" if work.depth is None else f"{work.depth:g} deep"


def _difference(old: _Work, new: _Work) -> str:
    if old.numbers == new.numbers:
        return f"is {_deep(new)} instead of {_deep(old)}"
    moved = [(b - a) for a, b in zip(old.numbers[:2], new.numbers[:2], strict=True)]
    if old.numbers[2:] == new.numbers[2:]:
        return f"has moved by ({moved[0]:+.2f}, {moved[1]:+.2f})"
    return f"is {_said(new.numbers[2:4])} instead of {_said(old.numbers[2:4])}"


def _said(numbers: Sequence[float]) -> str:
    return " x ".join(f"{number:g}" for number in numbers)


def _rounded(*numbers: float) -> tuple[float, ...]:
    return tuple(round(number, DECIMALS) + 0.0 for number in numbers)


def _size(panel: Panel) -> tuple[float, ...]:
    xmin, ymin, xmax, ymax = panel.outline.bounds
    return _rounded(xmax - xmin, ymax - ymin)


def _form(contour: Contour) -> tuple[float, ...]:
    """Middle, size, area and length of a contour: what tells one from another."""
    xmin, ymin, xmax, ymax = contour.bounds
    return _rounded((xmin + xmax) / 2, (ymin + ymax) / 2, xmax - xmin, ymax - ymin, abs(contour.area), contour.length)


def _works(panel: Panel) -> list[_Work]:
    """Everything cut into it; things of one name in their order."""
    made = [_Work("opening", o.name, _form(o.contour), None) for o in panel.openings]
    for side in panel.sides:
        face = "" if side.face == panel.face else f" in the {side.face} face"
        made += [_Work(f"hole{face}", h.name, _rounded(*h.centre, h.diameter), h.depth) for h in side.holes]
        made += [
            _Work(f"{r.kind}{face}", r.name, _form(r.region.outer), round(r.depth, DECIMALS)) for r in side.recesses
        ]
    counted: Counter[tuple[str, str]] = Counter()
    named = []
    for work in made:
        counted[work.kind, work.name] += 1
        number = counted[work.kind, work.name]
        name = work.name if number == 1 else f"{work.name} {number}"
        named.append(_Work(work.kind, name, work.numbers, work.depth))
    return named


def _without(works: Sequence[_Work], others: Sequence[_Work]) -> list[_Work]:
    """Those that the others do not hold, whatever they are called there."""
    held = Counter((w.kind, w.numbers, w.depth) for w in others)
    rest = []
    for work in works:
        key = work.kind, work.numbers, work.depth
        if held[key]:
            held[key] -= 1
        else:
            rest.append(work)
    return rest


def bought(old: Job, new: Job) -> tuple[str, ...]:
    """What else to buy or to leave, and strips to cut: hardware and cleats by name and size."""
    return (*_counts("hardware", _hardware(old), _hardware(new)), *_counts("cleats", _cleats(old), _cleats(new)))


def _hardware(job: Job) -> Mapping[str, int]:
    found: Counter[str] = Counter()
    for row in job.hardware:
        found[row.name] += row.count
    return found


def _cleats(job: Job) -> Mapping[str, int]:
    found: Counter[str] = Counter()
    for row in job.cleat:
        found[f"{row.size[0]:g} x {row.size[1]:g}, {row.length:.1f} long, for {row.panel}"] += row.count
    return found


def _counts(kind: str, old: Mapping[str, int], new: Mapping[str, int]) -> Iterator[str]:
    for name in dict.fromkeys((*new, *old)):
        if old.get(name, 0) != new.get(name, 0):
            yield f"{kind}: {name}: {new.get(name, 0)} instead of {old.get(name, 0)}"
