"""The cabinet's section: every panel's outer line and ends, from the profile and from what it meets."""

from collections.abc import Callable
from typing import NoReturn, TypeVar

from cncpanel.cabinet.line import PARALLEL, Line, line_through
from cncpanel.cabinet.standing import EndAt, Standing, square
from cncpanel.errors import Gathering
from cncpanel.errors.validation import nearest
from cncpanel.geometry.point import Point
from cncpanel.job.cabinet import Cabinet, PanelEnd, Position
from cncpanel.job.model import Panel, Stock
from cncpanel.job.read import ReadJob

LEAST_LENGTH = 1.0  # mm; what is shorter is a slip
NEARLY_SQUARE = 1e-6  # cosine; housed and rabbeted ends want a right angle

Found = TypeVar("Found")
Key = TypeVar("Key")


class _ToldError(Exception):
    """A problem of this panel, or of one that it needs, was told already."""


class Section:
    """Works out lines and ends as they are asked for; mistakes go to `gathering`, once each."""

    def __init__(self, read: ReadJob, gathering: Gathering) -> None:
        assert read.job.cabinet is not None
        self.cabinet: Cabinet = read.job.cabinet
        self._read, self._gathering = read, gathering
        self._panels = {panel.name: (index, panel) for index, panel in enumerate(read.job.panel)}
        self._stocks: dict[str, Stock] = {stock.name: stock for stock in read.job.stock}
        self._lines: dict[str, Line] = {}
        self._ends: dict[tuple[str, bool], EndAt] = {}
        self._begun: set[object] = set()
        self._failed: set[object] = set()

    def standing(self, name: str) -> Standing | None:
        """The panel where it lies; None where problems were told."""
        line = self._tried(lambda: self._line(name))
        start, end = self._tried(lambda: self._end(name, True)), self._tried(lambda: self._end(name, False))
        return self._tried(lambda: self._standing(name)) if line and start and end else None

    def _tried(self, work: Callable[[], Found]) -> Found | None:
        """What the work gives; None where a problem was told, so that others of the panel are told too."""
        try:
            return work()
        except _ToldError:
            return None

    def _standing(self, name: str) -> Standing:
        index, panel = self._panel(name)
        start, end = self._end(name, True), self._end(name, False)
        made = Standing(
            index=index,
            name=name,
            line=self._line(name),
            thickness=self._stocks[panel.stock].thickest,
            start=start,
            end=end,
        )
        if min(end.outer, end.inner) - max(start.outer, start.inner) < LEAST_LENGTH:
            self._stop(name, f"nothing is left of it between its start and its end ({made.length:.2f} mm)")
        return made

    # What stands where in the file

    def _panel(self, name: str) -> tuple[int, Panel]:
        return self._panels[name]

    def _position(self, name: str) -> Position:
        position = self._panel(name)[1].position
        assert position is not None
        return position

    def _stop(self, name: str, text: str, allowed: str = "", *keys: str | int) -> NoReturn:
        index, _ = self._panel(name)
        place = self._read.file.place(("panel", index, "position", *keys))
        self._gathering.problem(place, f'panel "{name}": {text}', allowed)
        raise _ToldError

    # Lines

    def _line(self, name: str) -> Line:
        return self._once(("line", name), self._lines, name, lambda: self._found_line(name), "stands behind itself")

    def _once(self, doing: object, known: dict[Key, Found], key: Key, work: Callable[[], Found], ring: str) -> Found:
        """The work's result, done once; what waits for itself or failed before ends here."""
        if key in known:
            return known[key]
        if doing in self._failed:
            raise _ToldError
        name = key[0] if isinstance(key, tuple) else str(key)
        if doing in self._begun:
            self._failed.add(doing)
            self._stop(name, ring, "a start or an end of its own")
        self._begun.add(doing)
        try:
            known[key] = work()
        except _ToldError:
            self._failed.add(doing)
            raise
        return known[key]

    def _found_line(self, name: str) -> Line:
        position = self._position(name)
        if position.edge is not None:
            return self._edge_line(name, position)
        if position.line is not None:
            line = line_through(*position.line)
            if line is None:
                self._stop(name, "its line's two points are one", "", "line")
            return line
        other = position.behind or ""
        if other not in self._across or other == name:
            self._stop(name, f'"{other}" is not a panel to stand behind', nearest(other, self._across), "behind")
        front = self._panel(other)[1]
        return self._line(other).inside(self._stocks[front.stock].thickest + position.by)

    @property
    def _across(self) -> list[str]:
        """Panels that have a line."""
        found = ((name, panel.position) for name, (_, panel) in self._panels.items())
        return [name for name, p in found if p is not None and (p.edge or p.line or p.behind)]

    def _edge_line(self, name: str, position: Position) -> Line:
        number = self.edge_number(position)
        if number is None:
            said = " to ".join(position.edge or ())
            edges = ", ".join(" ".join(edge) for edge in self.edges)
            self._stop(name, f"the profile has no edge {said}", edges, "edge")
        if position.sides == "overlaid":
            _, panel = self._panel(name)
            drawn = self._drawn_edge(number, 0.0)
            return drawn.inside(-self._stocks[panel.stock].thickest)
        own = self._drawn_edge(number, self.cabinet.reveal if position.reveal is None else position.reveal)
        before = self._drawn_edge(number - 1, self.cabinet.reveal)
        way = own.crossing(before)
        return own if way is None else Line(own.at(way), own.along)

    @property
    def edges(self) -> list[tuple[str, str]]:
        """The profile's edges by the names of their corners."""
        names = [corner.name for corner in self.cabinet.profile]
        return list(zip(names, (*names[1:], names[0]), strict=True))

    def edge_number(self, position: Position) -> int | None:
        """Which edge of the profile the position names."""
        return self.edges.index(position.edge) if position.edge in self.edges else None

    def _drawn_edge(self, number: int, reveal: float) -> Line:
        corners = self.cabinet.profile
        first, second = corners[number % len(corners)].to, corners[(number + 1) % len(corners)].to
        line = line_through(first, second)
        if line is None:
            raise _ToldError  # told with the profile
        return line.inside(reveal)

    # Ends

    def _end(self, name: str, is_start: bool) -> EndAt:
        key = (name, is_start)
        ring = "its ends wait for panels that wait for it"
        return self._once(("end", *key), self._ends, key, lambda: self._found_end(name, is_start), ring)

    def _found_end(self, name: str, is_start: bool) -> EndAt:
        position, length = self._position(name), self._length(name)
        wanted = position.start if is_start else position.end
        if length is None:
            return self._met(name, wanted, is_start)
        if is_start:
            given = position.start is not None or position.end is None
            return (
                self._met(name, wanted, True) if given else square(self._met(name, position.end, False).outer - length)
            )
        start = self._end(name, True)
        low = min(start.outer, start.inner)
        if wanted is None:
            return square(low + length)
        met = self._met(name, wanted, False)
        return met.moved(low + length - max(met.outer, met.inner))

    def _length(self, name: str) -> float | None:
        """The length that the job gives, else None."""
        _, panel = self._panel(name)
        if panel.size is not None:
            return panel.size[1]
        return self._position(name).length

    def _met(self, name: str, end: PanelEnd | None, is_start: bool) -> EndAt:
        if end is None:
            return self._corner(name, is_start)
        if end.at is not None:
            return square(end.at)
        assert end.mate is not None
        kind, other = end.mate
        if other not in self._across or other == name:
            key = "start" if is_start else "end"
            text = f'"{other}" is not a panel that it can meet'
            self._stop(name, text, nearest(other, [n for n in self._across if n != name]), key, kind)
        return self._at_mate(name, kind, other, end, is_start)

    def _corner(self, name: str, is_start: bool) -> EndAt:
        position, line = self._position(name), self._line(name)
        if is_start:
            return square(0.0)
        if position.line is not None:
            return square(line.way(Point(*position.line[1])))
        if position.behind is not None:
            self._stop(name, "it needs an end", "end or length")
        number = self.edge_number(position)
        assert number is not None
        if position.sides == "overlaid":
            return square(line.way(Point(*self.cabinet.profile[(number + 1) % len(self.cabinet.profile)].to)))
        way = line.crossing(self._drawn_edge(number + 1, self.cabinet.reveal))
        corner = self.cabinet.profile[(number + 1) % len(self.cabinet.profile)].to
        return square(line.way(Point(*corner)) if way is None else way)

    def _at_mate(self, name: str, kind: str, other: str, end: PanelEnd, is_start: bool) -> EndAt:
        if kind == "clear_of":
            ways = [self._line(name).way(corner) for corner in self._standing(other).corners]
            return square(max(ways) + end.gap if is_start else min(ways) - end.gap)
        if kind in ("mitred", "set_back"):
            return self._at_corner(name, kind, other, is_start)
        face = self._face(name, other, is_start, far=kind == "covers")
        found = self._on_face(name, other, face)
        if kind in ("housed", "rabbeted"):
            if abs(self._line(name).along.dot(self._line(other).along)) > NEARLY_SQUARE:
                self._stop(name, f'it meets "{other}" askew: {kind} wants a right angle', "butts")
            deeper = self.depth(end.depth, other) - self.cabinet.slack / 2
            return found.moved(-deeper if is_start else deeper)
        return found

    def depth(self, given: float | None, housing: str) -> float:
        """The depth of a groove or rabbet in panel `housing`."""
        third = self._stocks[self._panel(housing)[1].stock].thickness / 3
        return given or self.cabinet.housing or third

    def _face(self, name: str, other: str, is_start: bool, *, far: bool) -> Line:
        """The face of `other` that an end of `name` comes to first, or its far one."""
        thickness = self._stocks[self._panel(name)[1].stock].thickest
        middle = self._line(name).inside(thickness / 2)
        outer = self._line(other)
        faces = (outer, outer.inside(self._stocks[self._panel(other)[1].stock].thickest))
        first, second = (middle.crossing(face) for face in faces)
        if first is None or second is None:
            self._stop(name, f'it runs alongside "{other}" and never meets it')
        return faces[0] if (first > second) == (is_start != far) else faces[1]

    def _on_face(self, name: str, other: str, face: Line) -> EndAt:
        line = self._line(name)
        inner = line.inside(self._stocks[self._panel(name)[1].stock].thickest)
        outer_way, inner_way = line.crossing(face), inner.crossing(face)
        if outer_way is None or inner_way is None:
            self._stop(name, f'it runs alongside "{other}" and never meets it')
        return EndAt(outer_way, inner_way)

    def _at_corner(self, name: str, kind: str, other: str, is_start: bool) -> EndAt:
        """Both outer faces meet in one arris, both inner faces in another: cut from one to the other, or short."""
        own, mate = self._line(name), self._line(other)
        inner = own.inside(self._stocks[self._panel(name)[1].stock].thickest)
        mate_inner = mate.inside(self._stocks[self._panel(other)[1].stock].thickest)
        outer_way, inner_way = own.crossing(mate), inner.crossing(mate_inner)
        if outer_way is None or inner_way is None:
            self._stop(name, f'it runs alongside "{other}" and never meets it')
        lag = inner_way - outer_way if is_start else outer_way - inner_way
        if lag < PARALLEL:
            text = f'the corner with "{other}" is hollow outside: square ends meet there and the gap inside is hidden'
            self._stop(name, text, "leave the end out, or butts")
        return EndAt(outer_way, inner_way) if kind == "mitred" else square(inner_way)
