"""From a job with positions to the same job with plain panels: sizes, joinery and cleats derived, places kept."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from pathlib import Path

from cncpanel.cabinet.catalogue import catalogue
from cncpanel.cabinet.check import check_cabinet
from cncpanel.cabinet.equip import with_fittings
from cncpanel.cabinet.facing import facing_frame, side_frame, standing_frame
from cncpanel.cabinet.fitted import Fitted, fitted
from cncpanel.cabinet.joinery import Derived, bevels, in_mate, in_sides
from cncpanel.cabinet.nubs import overlaid, tab_free
from cncpanel.cabinet.piece import Assembly, Piece, Strip
from cncpanel.cabinet.section import Section
from cncpanel.cabinet.standing import Standing
from cncpanel.cabinet.strips import cleat_rows, strips
from cncpanel.cabinet.width import inside, width_of
from cncpanel.errors import Gathering
from cncpanel.errors.lines import KeyPath
from cncpanel.job.edge import TabFree
from cncpanel.job.feature import Groove, Rabbet
from cncpanel.job.model import Corner, Job, Panel, Position, Stock
from cncpanel.job.read import ReadJob, read_job


@dataclass(frozen=True, slots=True, kw_only=True)
class Whole:
    """A job with plain panels; the assembly that they stand in, where there is one; its fittings."""

    read: ReadJob
    assembly: Assembly | None
    fitted: tuple[Fitted, ...]


def read_cabinet(path: Path, gathering: Gathering | None = None) -> Whole:
    """Read the job file at `path` and derive what its positions and fittings leave open; raises ProblemsFound.

    The job comes back with plain panels; without [cabinet] there is no assembly.
    """
    own = Gathering() if gathering is None else gathering
    whole = derived(read_job(path, own), own)
    own.stop_if_any()
    return whole


def derived(read: ReadJob, gathering: Gathering) -> Whole:
    """The job with plain panels, and the assembly they stand in; what is wrong goes to `gathering`."""
    check_cabinet(read, gathering)
    found = fitted(read, catalogue(read, gathering), gathering)
    if gathering.problems:
        return Whole(read=read, assembly=None, fitted=found)
    cut = with_fittings(read, found)
    if read.job.cabinet is None:
        return Whole(read=cut, assembly=None, fitted=found)
    whole = _Whole(cut, gathering)
    return Whole(read=whole.job(), assembly=whole.assembly(), fitted=found)


class _Whole:
    """One job's derivation: standings first, then what they ask of each other."""

    def __init__(self, read: ReadJob, gathering: Gathering) -> None:
        assert read.job.cabinet is not None
        self.read, self.cabinet = read, read.job.cabinet
        self.stocks: dict[str, Stock] = {stock.name: stock for stock in read.job.stock}
        self.section = Section(read, gathering)
        found = (self.section.standing(read.job.panel[i].name) for i in self._across())
        self.standings = tuple(standing for standing in found if standing is not None)
        self.by_name = {standing.name: standing for standing in self.standings}
        self.widths = {s.index: self._width(read.job.panel[s.index]) for s in self.standings}
        self.frames = {
            s.index: standing_frame(s, self.widths[s.index], self._position(s.index).middle) for s in self.standings
        }
        self.strips = tuple(self._all_strips())
        self.features = tuple(self._all_features())

    @property
    def sides(self) -> Stock:
        """What the sides are made of."""
        return self.stocks[self.cabinet.stock]

    def _across(self) -> Iterator[int]:
        for index, panel in enumerate(self.read.job.panel):
            if panel.position is not None and (panel.position.edge or panel.position.line or panel.position.behind):
                yield index

    def _position(self, index: int) -> Position:
        position = self.read.job.panel[index].position
        assert position is not None
        return position

    def _width(self, panel: Panel) -> float:
        assert panel.position is not None
        return panel.size[0] if panel.size is not None else width_of(panel.position, self.cabinet, self.sides)

    # Joinery

    def _all_features(self) -> Iterator[Derived]:
        panels = self.read.job.panel
        sides = [index for index, panel in enumerate(panels) if panel.position is not None and panel.position.side]
        for standing in self.standings:
            panel, position = panels[standing.index], self._position(standing.index)
            stock = self.stocks[panel.stock]
            yield from bevels(standing)
            yield from tab_free(standing, panel)
            for side in sides:
                asked = in_sides(standing, panel, side, self.section, self.sides, stock)
                if asked is not None:
                    yield asked
                covered = None if _is_shaped(panels[side]) else overlaid(standing, position, side, self.section)
                if covered is not None:
                    yield covered
            yield from self._in_mates(standing, panel, stock)

    def _in_mates(self, standing: Standing, panel: Panel, stock: Stock) -> Iterator[Derived]:
        position = self._position(standing.index)
        for end in (position.start, position.end):
            mate = self.by_name.get((end.housed or end.rabbeted or "") if end else "")
            if end is not None and mate is not None:
                yield in_mate(standing, end, mate, self.section, stock, self.widths[mate.index])

    def _all_strips(self) -> Iterator[Strip]:
        others = [(s, self.read.job.panel[s.index], self.widths[s.index]) for s in self.standings]
        made: list[Strip] = []
        for standing in self.standings:
            if self._position(standing.index).cleats:
                frame, between = self.frames[standing.index], inside(self.cabinet, self.sides)
                made += strips(standing, frame, between, self.cabinet, others, made)
        yield from made

    # The job with plain panels

    def job(self) -> ReadJob:
        """The job as if it had been written panel by panel."""
        asked: dict[int, list[Derived]] = defaultdict(list)
        for feature in self.features:
            asked[feature.into].append(feature)
        panels = tuple(self._panel(index, panel, asked[index]) for index, panel in enumerate(self.read.job.panel))
        cleats = [row for index, own in groupby(self.strips, key=lambda s: s.index) for row in self._rows(index, own)]
        job: Job = self.read.job.model_copy(update={"panel": panels, "cleat": (*self.read.job.cleat, *cleats)})
        lines = dict(self.read.file.lines)
        for index, features in asked.items():
            lines.update(self._lines(index, features))
        return replace(self.read, job=job, file=replace(self.read.file, lines=lines))

    def _rows(self, index: int, own: Iterator[Strip]) -> Iterator[object]:
        yield from cleat_rows(tuple(own), self.read.job.panel[index], self.cabinet)

    def _panel(self, index: int, panel: Panel, asked: Sequence[Derived]) -> Panel:
        update: dict[str, object] = {}
        for kind in ("groove", "rabbet", "edge", "tab_free"):
            added = tuple(one.feature for one in asked if _kind(one) == kind)
            if added:
                update[kind] = (*getattr(panel, kind), *added)
        if "face" not in panel.model_fields_set and {"groove", "rabbet"} & update.keys():
            update["face"] = "back"
        if panel.position is not None:
            update.update(self._shape(index, panel, panel.position))
            update.update(_copies(panel, panel.position))
        return panel.model_copy(update=update)

    def _shape(self, index: int, panel: Panel, position: Position) -> dict[str, object]:
        """The size or outline that the position leaves to be derived."""
        standing = self.by_name.get(panel.name)
        if _is_shaped(panel):
            return {}
        if standing is not None:
            return {"size": (self.widths[index], standing.length)}
        if position.side is not None:
            return {"outline": tuple(Corner(to=c.to, radius=c.radius) for c in self.cabinet.profile)}
        return {}

    def _lines(self, index: int, features: Sequence[Derived]) -> Iterator[tuple[KeyPath, int]]:
        """Derived features are told at the position that asked for them."""
        panel = self.read.job.panel[index]
        counts = {kind: len(getattr(panel, kind)) for kind in ("groove", "rabbet", "edge", "tab_free")}
        for feature in features:
            kind = _kind(feature)
            place = self.read.file.place(("panel", feature.asked_by, "position"))
            yield ("panel", index, kind, counts[kind]), place.line
            counts[kind] += 1

    # In space

    def assembly(self) -> Assembly:
        """Every copy of every panel with a position, and the cleats, where they stand."""
        return Assembly(
            cabinet=self.cabinet,
            inside=inside(self.cabinet, self.sides),
            pieces=tuple(piece for i, panel in enumerate(self.read.job.panel) for piece in self._pieces(i, panel)),
            standings=self.standings,
            strips=self.strips,
        )

    def _pieces(self, index: int, panel: Panel) -> Iterator[Piece]:
        position = panel.position
        if position is None:
            return
        if position.side is not None:
            frame = side_frame(self.cabinet.width)
            if position.side != "right":
                yield Piece(index=index, label=f"{panel.name} (left)", frame=frame)
            if position.side != "left":
                yield Piece(index=index, label=f"{panel.name} (right)", frame=frame.mirrored, mirrored=True)
            return
        if position.facing is not None and position.at is not None:
            frame = facing_frame(position.facing, position.at)
        elif index in self.frames:
            frame = self.frames[index]
        else:
            return
        yield Piece(index=index, label=panel.name, frame=frame)
        if position.mirror:
            is_image = panel.copies == 1
            other = frame.mirrored if is_image else frame.turned_over((panel.size or (0.0, 0.0))[0])
            yield Piece(index=index, label=f"{panel.name} (other side)", frame=other, mirrored=is_image)


def _kind(derived_feature: Derived) -> str:
    feature = derived_feature.feature
    if isinstance(feature, TabFree):
        return "tab_free"
    return "groove" if isinstance(feature, Groove) else "rabbet" if isinstance(feature, Rabbet) else "edge"


def _is_shaped(panel: Panel) -> bool:
    return any(shape is not None for shape in (panel.size, panel.diameter, panel.outline, panel.dxf))


def _copies(panel: Panel, position: Position) -> dict[str, object]:
    """One as drawn, one mirrored where it stands on both sides."""
    if "mirrored" in panel.model_fields_set:
        return {}
    if position.side == "right" and "copies" not in panel.model_fields_set:
        return {"copies": 0, "mirrored": 1}
    return {"mirrored": 1} if panel.copies == 1 and (position.side == "both" or position.mirror) else {}
