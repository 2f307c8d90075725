"""Contours read from a DXF file: the only place where ezdxf reads.

The file is opened with care, walked block by block, and its strokes handed on (dxf_contours.py) to become
shapes. Whatever cannot be used is named in the drawing's own coordinates; nothing is guessed.
"""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from math import cos, radians, sin
from pathlib import Path
from typing import Any

from ezdxf import recover
from ezdxf.filemanagement import readfile
from ezdxf.lldxf.const import DXFError, DXFVersionError

from cncpanel.errors import Gathering, Place
from cncpanel.geometry.contour import joined_bounds
from cncpanel.job.dxf_contours import shapes_of
from cncpanel.job.dxf_map import Map
from cncpanel.job.dxf_nest import DxfShape
from cncpanel.job.dxf_notes import Notes
from cncpanel.job.dxf_stroke import READERS, UPRIGHT, Stroke, strokes_of
from cncpanel.job.dxf_unit import drawing_unit, judge_unit
from cncpanel.job.dxf_unusable import UnusableError, usable

MOST_BYTES = 64 * 2**20  # of a file; outlines of one panel are a thousandth of it
MOST_ENTITIES = 200_000  # looked at, blocks unfolded; more would take minutes, and no router minutes
ENTITY_MARK = re.compile(rb"(?:\A|\n)[ \t]*0[ \t]*\r?\n")  # the group code that begins an entity

# ezdxf's own errors, and what its parsers let through from damaged numbers, texts and tables
# (found by damaging files).
DAMAGED = (DXFError, ValueError, LookupError, AttributeError, TypeError, ArithmeticError, AssertionError)


def read_dxf(
    path: Path, *, layer: str | None, unit: str | None, tolerance: float, place: Place, gathering: Gathering
) -> tuple[DxfShape, ...] | None:
    """The shapes drawn in the file, or on one of its layers, in mm; None where it must be refused.

    `unit` is the job's word for the drawing's unit (a key of dxf_unit.JOB_UNITS), None to believe the header.
    Gaps up to `tolerance` (mm) are closed. Problems and warnings go to the gathering, at `place`.
    """
    notes = Notes(path.name, place, gathering)
    try:
        content = _content(path)
        document = _document(path, notes)
    except UnusableError as error:
        notes.problem(str(error), error.allowed)
        return None
    header = document.header.get("$INSUNITS", 0) if b"$INSUNITS" in content else 0
    chosen = drawing_unit(header, unit, notes)
    notes.scale = chosen.scale
    drawn = _Drawing(document, layer, notes)
    strokes = drawn.strokes(chosen.scale)
    if strokes:
        xmin, ymin, xmax, ymax = joined_bounds(s.bounds for s in strokes)
        judge_unit(chosen, (xmax - xmin) / chosen.scale, (ymax - ymin) / chosen.scale, notes)
    shapes = shapes_of(strokes, drawn.without_length, tolerance, notes) if not notes.problems else ()
    return shapes if notes.close() else None


def _content(path: Path) -> bytes:
    """The file's bytes after the checks that need no parser; raises UnusableError."""
    try:
        if not path.exists():
            raise UnusableError("there is no such file", f"looked for {path}")
        if not path.is_file():
            raise UnusableError("is not a file")
        if path.stat().st_size > MOST_BYTES:
            raise UnusableError(f"is larger than {MOST_BYTES >> 20} MB", "save only the outlines")
        content = path.read_bytes()
    except OSError as error:
        raise UnusableError(f"cannot be read: {error.strerror or error}") from error
    _check(content)
    return content


def _check(content: bytes) -> None:
    if not content.strip():
        raise UnusableError("is empty")
    if content.startswith(b"AC10"):
        raise UnusableError("is a DWG file, not a DXF file", "save it as DXF, version R2000 or later")
    if b"SECTION" not in content or (b"\0" in content[:1024] and b"DXF" not in content[:22]):
        raise UnusableError("is not a DXF file")
    if b"EOF" not in content[-256:]:
        raise UnusableError("ends before its end mark: the file is cut short", "save or copy it again")
    if len(ENTITY_MARK.findall(content)) > 3 * MOST_ENTITIES:
        raise UnusableError(f"holds more than {MOST_ENTITIES} entities", "save only the outlines")


def _document(path: Path, notes: Notes) -> Any:
    """The parsed file, mended where its structure is damaged (with a warning); raises UnusableError."""
    try:
        return readfile(path)
    except DXFVersionError as error:
        raise UnusableError(f"cannot be read: {error}", "save it as DXF, version R12 or later") from error
    except (OSError, *DAMAGED) as error:
        first = _sentence(error)
    try:
        document, _ = recover.readfile(path)
    except (OSError, *DAMAGED) as error:
        raise UnusableError(f"is damaged: {first}", "save it again as DXF") from error
    notes.warn(f"is damaged ({first}); what could be read was used", "save it again as DXF")
    return document


def _sentence(error: BaseException) -> str:
    return " ".join(str(error).split())[:160] or type(error).__name__


@dataclass(slots=True)
class _Visit:
    """Entities of one block or of the drawing itself, still to be walked."""

    entities: Iterator[Any]
    place: Map
    layer: str | None
    blocks: frozenset[str]


@dataclass(slots=True)
class _Drawing:
    """A walk through a document: strokes out, everything else counted."""

    document: Any
    layer: str | None
    notes: Notes
    seen: int = 0
    without_length: int = 0
    unread: Counter[str] = field(default_factory=Counter)
    hidden: Counter[str] = field(default_factory=Counter)
    layers: set[str] = field(default_factory=set)
    asleep: dict[str, str] = field(default_factory=dict)

    def strokes(self, scale: float) -> list[Stroke]:
        """All strokes on the wanted layers, in mm; what else there is goes to the notes."""
        self.asleep = dict(_sleeping_layers(self.document))
        result: list[Stroke] = []
        for entity, place, layer in self._entities(Map(a=scale, d=scale)):
            self.layers.add(layer)
            if self._wanted(entity, layer):
                result += self._strokes_of(entity, place)
        self._tell(bool(result))
        return result

    def _entities(self, place: Map) -> Iterator[tuple[Any, Map, str]]:
        """Every entity with its map and its layer, blocks unfolded; a stack instead of recursion."""
        stack = [_Visit(iter(self.document.modelspace()), place, None, frozenset())]
        while stack:
            visit = stack[-1]
            entity = next(visit.entities, None)
            if entity is None:
                stack.pop()
                continue
            self.seen += 1
            if self.seen > MOST_ENTITIES:
                self.notes.problem(f"holds more than {MOST_ENTITIES} entities", "save only the outlines")
                return
            layer = _layer_of(entity, visit.layer)
            if entity.dxftype() == "INSERT":
                stack += self._unfolded(entity, visit, layer)
            else:
                yield entity, visit.place, layer

    def _unfolded(self, insert: Any, visit: _Visit, layer: str) -> list[_Visit]:
        """The block that an INSERT places, once for each row and column."""
        name = str(insert.dxf.get("name", ""))
        if self.layer is None and layer.lower() in self.asleep:
            self.hidden[layer] += 1
            return []
        try:
            block = self._block(name, visit.blocks)
            places = self._places(insert)
        except UnusableError as error:
            self.notes.problem(f"INSERT of block {name!r} {error}")
            return []
        within = visit.blocks | {name.lower()}
        return [_Visit(iter(block), visit.place.after(place), layer, within) for place in places]

    def _block(self, name: str, within: frozenset[str]) -> Any:
        block = self.document.blocks.get(name)
        if block is None:
            raise UnusableError("finds no such block")
        if name.lower() in within:
            raise UnusableError("lies inside itself")
        if block.block is not None and block.block.is_xref:
            raise UnusableError("is in another file: bind it into this one")
        return block

    def _places(self, insert: Any) -> list[Map]:
        first = _insert_map(insert)
        columns, rows = insert.dxf.column_count, insert.dxf.row_count
        wide, high = insert.dxf.column_spacing, insert.dxf.row_spacing
        columns, rows = max(columns, 1) if wide else 1, max(rows, 1) if high else 1
        if columns * rows > MOST_ENTITIES:
            raise UnusableError(f"is repeated {columns * rows} times")
        side = -1.0 if insert.dxf.extrusion.z < 0 else 1.0
        angle = radians(insert.dxf.rotation)
        along = side * cos(angle) * wide, sin(angle) * wide
        up = -side * sin(angle) * high, cos(angle) * high
        steps = [
            (i * along[0] + j * up[0], i * along[1] + j * up[1]) for j in range(rows) for i in range(columns)
        ]
        return [replace(first, e=first.e + x, f=first.f + y) for x, y in steps]

    def _wanted(self, entity: Any, layer: str) -> bool:
        if self.layer is not None and layer.lower() != self.layer.lower():
            return False
        if entity.dxf.get("invisible", 0) or (self.layer is None and layer.lower() in self.asleep):
            self.hidden[layer] += 1
            return False
        if not _readable(entity):
            self.unread[entity.dxftype()] += 1
            return False
        return True

    def _strokes_of(self, entity: Any, place: Map) -> list[Stroke]:
        try:
            strokes = strokes_of(entity, place)
        except UnusableError as error:
            self._unusable(entity, str(error))
        except DAMAGED as error:
            self._unusable(entity, f"cannot be read: {_sentence(error)}")
        else:
            self.without_length += not strokes
            return strokes
        return []

    def _unusable(self, entity: Any, text: str) -> None:
        self.notes.problem(f"{entity.dxftype()} {entity.dxf.get('handle', '')} {text}".replace("  ", " "))

    def _tell(self, found: bool) -> None:
        if self.unread:
            kinds = ", ".join(f"{count} {kind}" for kind, count in sorted(self.unread.items()))
            self.notes.warn(f"left out: {kinds}")
        for layer, count in sorted(self.hidden.items()):
            state = self.asleep.get(layer.lower(), "partly invisible")
            text = f"layer {layer!r} is {state}: {count} entities left out"
            self.notes.warn(text, "name the layer to have it read")
        if self.layer is not None and self.layer.lower() in self.asleep:
            state = self.asleep[self.layer.lower()]
            self.notes.warn(f"layer {self.layer!r} is {state}, and was read all the same")
        if not found and not self.notes.problems:
            self._tell_nothing()

    def _tell_nothing(self) -> None:
        there = "layers with something on them: " + (", ".join(sorted(self.layers)) or "none")
        if self.layer is not None and self.layer.lower() not in {name.lower() for name in self.layers}:
            self.notes.problem(f"there is nothing on a layer {self.layer!r}", there)
        else:
            self.notes.problem("draws no lines, arcs or curves", there if self.layer is None else "")


def _sleeping_layers(document: Any) -> Iterator[tuple[str, str]]:
    """Frozen and switched-off layers, by lower-case name."""
    for layer in document.layers:
        if layer.is_frozen() or layer.is_off():
            yield layer.dxf.name.lower(), "frozen" if layer.is_frozen() else "switched off"


def _layer_of(entity: Any, around: str | None) -> str:
    """The layer an entity is on; on layer 0 of a block it is on the block's."""
    name = str(entity.dxf.get("layer", "0"))
    return around if around is not None and name == "0" else name


def _readable(entity: Any) -> bool:
    kind = entity.dxftype()
    mesh = kind == "POLYLINE" and (entity.is_poly_face_mesh or entity.is_polygon_mesh)
    return kind in READERS and not mesh


def _insert_map(insert: Any) -> Map:
    """How a block lies where an INSERT puts it; raises UnusableError for tilted and degenerate ones."""
    try:
        rows = [usable(insert.matrix44().get_row(i)[:3]) for i in (0, 1, 3)]
    except (ArithmeticError, TypeError) as error:
        raise UnusableError("has a place that cannot be computed") from error
    (a, b, lift), (c, d, rise), (e, f, _) = rows
    if max(abs(lift), abs(rise)) > UPRIGHT * max(abs(a), abs(b), abs(c), abs(d)):
        raise UnusableError("lies on a tilted plane")
    if abs(a * d - b * c) < 1e-12:
        raise UnusableError("is scaled to nothing")
    return Map(a, b, c, d, e, f)
