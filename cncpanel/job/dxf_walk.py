"""The walk through a DXF document: blocks unfolded, layers heeded, strokes out, everything else counted."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from math import cos, radians, sin
from typing import Any

from ezdxf.lldxf.const import DXFError

from cncpanel.job.dxf_map import Map
from cncpanel.job.dxf_notes import Notes
from cncpanel.job.dxf_stroke import READERS, UPRIGHT, Stroke, strokes_of
from cncpanel.job.dxf_unusable import UnusableError, usable

MOST_ENTITIES = 50_000  # looked at, blocks unfolded; more would take minutes, and no panel has them
# ezdxf's own errors, and what its parsers let through from damaged numbers, texts and tables
# (found by damaging files).
DAMAGED = (
    DXFError,
    ValueError,
    LookupError,
    AttributeError,
    TypeError,
    ArithmeticError,
    AssertionError,
    StopIteration,
    RuntimeError,
)


def sentence(error: object) -> str:
    """An error's text on one line, not too long."""
    return " ".join(str(error).split())[:160] or type(error).__name__


@dataclass(slots=True)
class _Visit:
    """Entities of one block or of the drawing itself, still to be walked."""

    entities: Iterator[Any]
    place: Map
    layer: str | None
    blocks: frozenset[str]


@dataclass(slots=True)
class Drawing:
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
            aside = self.layer is not None and layer.lower() != self.layer.lower()
            tell = self.notes.warn if aside else self.notes.problem
            tell(f"INSERT of block {name!r} {error}")
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
        steps = [(i * along[0] + j * up[0], i * along[1] + j * up[1]) for j in range(rows) for i in range(columns)]
        return [replace(first, e=first.e + x, f=first.f + y) for x, y in steps]

    def _wanted(self, entity: Any, layer: str) -> bool:
        if self.layer is not None and layer.lower() != self.layer.lower():
            return False
        if _attribute(entity, "invisible", 0) or (self.layer is None and layer.lower() in self.asleep):
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
            self._unusable(entity, f"cannot be read: {sentence(error)}")
        else:
            self.without_length += not strokes
            return strokes
        return []

    def _unusable(self, entity: Any, text: str) -> None:
        self.notes.problem(f"{entity.dxftype()} {entity.dxf.handle or ''} {text}".replace("  ", " "))

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
    name = str(_attribute(entity, "layer", "0"))
    return around if around is not None and name == "0" else name


def _attribute(entity: Any, name: str, default: object) -> Any:
    """An attribute of an entity that may be of a kind without it."""
    return entity.dxf.get(name, default) if entity.dxf.is_supported(name) else default


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
