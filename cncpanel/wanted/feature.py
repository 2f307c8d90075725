"""Everything that is cut out of one panel, as plain shapes and depths in the author's own coordinates."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TypeVar

import shapely

from cncpanel.job import model
from cncpanel.job.read import ReadJob
from cncpanel.proof.target import FloorKind
from cncpanel.wanted.band import groove_shape, rabbet_shape
from cncpanel.wanted.corner import loop, unrounded
from cncpanel.wanted.curve import Edge, edges_of_contour, flat, turned_area
from cncpanel.wanted.lettering import strokes
from cncpanel.wanted.pattern import grille_cells, hole_centres
from cncpanel.wanted.shape import Key, disc_edges, imported, oblong, round_shape, shape_of

Faced = TypeVar("Faced", model.Opening, model.Recess, model.Groove, model.Rabbet, model.Hole, model.Grille, model.Mark)
_SIDES = ("bottom", "right", "top", "left")


@dataclass(frozen=True, slots=True)
class Feature:
    """One shape to be cut; depth None goes right through.

    `on_mirrored` is its shape where the part lies mirrored, if that is not just its mirror image.
    """

    name: str
    kind: FloorKind
    shape: shapely.Geometry
    depth: float | None
    on_mirrored: shapely.Geometry | None = None


@dataclass(frozen=True, slots=True)
class Drawn:
    """A panel as the job file gives it; `stocks` by name.

    `turned`: what is cut from the other face before the panel is turned over, where nothing goes through.
    """

    read: ReadJob
    index: int
    stocks: Mapping[str, model.Stock]
    turned: bool = False

    @property
    def panel(self) -> model.Panel:
        """What the job says of it."""
        return self.read.job.panel[self.index]

    @property
    def key(self) -> Key:
        """Its place in the job file."""
        return ("panel", self.index)

    def outline(self) -> shapely.Polygon:
        """The finished outline without any opening."""
        if self.panel.size is not None:
            return shapely.Polygon(flat(oblong(self.panel.size, self.panel.radius)))
        if self.panel.diameter is not None:
            return shapely.Polygon(flat(disc_edges(self.panel.diameter)))
        if self.panel.outline is not None:
            return shapely.Polygon(flat(loop(self.panel.outline)))
        return shapely.Polygon(imported(self.read, self.key)[0].exterior)

    def features(self) -> Iterator[Feature]:
        """Everything that is cut from the face that lies up."""
        panel, whole = self.panel, self.outline()
        yield from self._openings()
        yield from self._recesses()
        for number, groove in self._cut(panel.groove):
            shape = groove_shape(groove, self._width(groove), whole, self._relief_radius)
            yield self._feature(groove.name, f"groove {number + 1}", shape, groove.depth)
        for number, rabbet in self._cut(panel.rabbet):
            shape = rabbet_shape(self._rim(rabbet), rabbet, whole)
            yield self._feature(rabbet.name, f"rabbet {number + 1}", shape, rabbet.depth)
        yield from self._holes()
        yield from self._grilles()
        yield from self._marks()

    def _cut(self, features: tuple[Faced, ...]) -> Iterator[tuple[int, Faced]]:
        """Those that are cut in this set-up, by number."""
        for number, feature in enumerate(features):
            if self._is_turned(feature) == self.turned:
                yield number, feature

    def _is_turned(self, feature: Faced) -> bool:
        """Whether it goes part way from the face that lies below when the part is cut out."""
        through = isinstance(feature, (model.Opening, model.Grille)) or (
            isinstance(feature, model.Hole) and feature.depth is None
        )
        return not through and self._from_below(feature)

    def _from_below(self, feature: Faced) -> bool:
        return feature.face is not None and feature.face != self.panel.face

    @staticmethod
    def _feature(name: str, other: str, shape: shapely.Geometry, depth: float | None) -> Feature:
        return Feature(name or other, "through" if depth is None else "recess", shape, depth)

    def _openings(self) -> Iterator[Feature]:
        if self.panel.dxf is not None and not self.turned:
            for number, hole in enumerate(imported(self.read, self.key)[0].interiors):
                yield Feature(f"opening {number + 1} of the drawing", "through", shapely.Polygon(hole), None)
        for number, opening in self._cut(self.panel.opening):
            shape = shape_of(opening, self.read, (*self.key, "opening", number), opening.relief, self._relief_radius)
            yield self._feature(opening.name, f"opening {number + 1}", shape, None)

    def _recesses(self) -> Iterator[Feature]:
        for number, recess in self._cut(self.panel.recess):
            key = (*self.key, "recess", number)
            islands = [shape_of(island, self.read, (*key, "island", i)) for i, island in enumerate(recess.island)]
            kept = shapely.union_all(islands) if islands else shapely.Polygon()
            parts = [(shape_of(recess, self.read, key, recess.relief, self._relief_radius), recess.depth)]
            parts += [(shape_of(step, self.read, (*key, "step", i)), step.depth) for i, step in enumerate(recess.step)]
            for shape, depth in parts:
                yield self._feature(recess.name, f"recess {number + 1}", shapely.difference(shape, kept), depth)

    @property
    def _relief_radius(self) -> float:
        return self.read.job.settings.relief_radius

    def _width(self, groove: model.Groove) -> float:
        if groove.width is not None:
            return groove.width
        return self.stocks[groove.houses or ""].thickest + groove.clearance

    def _rim(self, rabbet: model.Rabbet) -> Edge:
        """The edge that the rabbet lies along, run counter-clockwise."""
        if rabbet.side is not None:
            xmin, ymin, xmax, ymax = self.outline().bounds
            corners = ((xmin, ymin), (xmax, ymin), (xmax, ymax), (xmin, ymax))
            n = _SIDES.index(rabbet.side)
            return Edge(corners[n], corners[(n + 1) % 4])
        edges = self._drawn_edges()
        edge = edges[rabbet.edge or 0]
        return edge if turned_area(edges) > 0 else edge.reversed()

    def _drawn_edges(self) -> list[Edge]:
        if self.panel.size is not None:
            return oblong(self.panel.size, 0.0)
        if self.panel.diameter is not None:
            return disc_edges(self.panel.diameter)
        if self.panel.outline is not None:
            return unrounded(self.panel.outline)
        outer = self.read.shapes[(*self.key, "dxf")][0].outer
        return edges_of_contour(outer)

    def _holes(self) -> Iterator[Feature]:
        for number, hole in self._cut(self.panel.hole):
            name = hole.name or f"hole {number + 1}"
            for centre in hole_centres(hole):
                kind: FloorKind = "through" if hole.depth is None else "hole"
                yield Feature(name, kind, round_shape(centre, hole.diameter), hole.depth)
        for number, hole in enumerate(self.panel.hole):
            if hole.counterbore is not None and self._from_below(hole) == self.turned:
                for centre in hole_centres(hole):
                    bore, name = hole.counterbore, hole.name or f"hole {number + 1}"
                    yield Feature(name, "recess", round_shape(centre, bore.diameter), bore.depth)

    def _grilles(self) -> Iterator[Feature]:
        for number, grille in self._cut(self.panel.grille):
            boundary = shape_of(grille, self.read, (*self.key, "grille", number))
            for cell in grille_cells(grille, boundary):
                yield self._feature(grille.name, f"grille {number + 1}", cell, None)

    def _marks(self) -> Iterator[Feature]:
        """A mark is its strokes: as they stand, and as they stand on a part that lies mirrored."""
        for number, mark in self._cut(self.panel.mark):
            plain, mirrored = (strokes(mark, self.panel.name, mirrored=over) for over in (False, True))
            yield Feature(mark.name or f"mark {number + 1}", "mark", plain, mark.depth, mirrored)
