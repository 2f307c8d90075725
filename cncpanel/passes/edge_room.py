"""Whether an edge's tool, which flares out over the scrap, has room: neighbours, clamps, its own part's other walls."""

from collections.abc import Iterator, Sequence

from cncpanel.errors import Gathering
from cncpanel.geometry.area import Area
from cncpanel.geometry.point import Point
from cncpanel.geometry.ring import SHORT, ring_of
from cncpanel.geometry.segment import Segment
from cncpanel.layout.layout import Sheet
from cncpanel.operation.edge_layer import radius_over_tip
from cncpanel.operation.operation import EdgeCut
from cncpanel.passes.blocked import blocked
from cncpanel.passes.draft import Draft
from cncpanel.passes.limits import named
from cncpanel.passes.work import Work

CUTS = -0.05  # mm; steps that come no further under the face touch nothing
BAND = 0.05  # mm beyond the edge's own width: chords decide no finer
TOUCH = 0.05  # mm2; less is a grazing of chords
PIECE = 1.0  # mm of a sloped way that is looked at at one depth
POINT = 1e-3  # mm; the half width of a way that is looked at as a line

Told = tuple[str, str]  # what is wrong, what is allowed


def tell_room(
    operation: EdgeCut, drafts: Sequence[Draft], work: Work, parts: Sequence[Work], sheet: Sheet, gathering: Gathering
) -> None:
    """Gather what else than the edge and scrap lies in the tool's way, with figures."""
    pieces = [piece for one in drafts for piece in _pieces(one)]
    if not pieces:
        return
    wide = radius_over_tip(operation.tool, operation.depth)
    swept, way = _flared(pieces, operation), Area.swept([[segment] for segment, _ in pieces], POINT)
    found = (
        *_neighbours(work, parts, swept, way, wide),
        *_clamps(sheet, swept, way, wide),
        *_own(operation, work, swept),
    )
    for text, allowed in found:
        who = f"{work.part.label}, {operation.feature}: {named(operation.tool)}"
        gathering.problem(work.rims.get(operation.feature, work.place), f"{who} {text}", allowed)


def _pieces(one: Draft) -> Iterator[tuple[Segment, float]]:
    """Each way under the face with the depth of its tip; sloped ones in pieces, each at its deeper end."""
    point, z = one.run.start, one.run.approach
    for step in one.run.steps:
        way, low = Segment(point, Point(step.x, step.y), step.bulge), min(z, step.z)
        if low < CUTS and way.chord > SHORT:
            count = 1 if abs(step.z - z) < SHORT else int(way.length / PIECE) + 1
            for number in range(count):
                ends = (z + (step.z - z) * share / count for share in (number, number + 1))
                deep = -min(ends)
                if deep > -CUTS:
                    yield (way if count == 1 else way.part(number / count, (number + 1) / count)), deep
        point, z = way.end, step.z


def _flared(pieces: Sequence[tuple[Segment, float]], operation: EdgeCut) -> Area:
    """What the tool covers at the face."""
    by_radius: dict[float, list[Sequence[Segment]]] = {}
    for segment, deep in pieces:
        by_radius.setdefault(round(radius_over_tip(operation.tool, deep), 2), []).append([segment])
    swept = Area.of(())
    for radius, chains in by_radius.items():
        swept = swept.plus(Area.swept(chains, radius)) if radius > 0 else swept
    return swept


def _neighbours(work: Work, parts: Sequence[Work], swept: Area, way: Area, wide: float) -> Iterator[Told]:
    for other in parts:
        body = other.body if work.lies_in(other) else other.area
        if other is not work and swept.overlap(body) > TOUCH:
            apart = body.gap(way)
            text = f"reaches {wide:.2f} mm from its way, {other.part.label} is {apart:.2f} mm from it"
            yield text, f"a gap {wide - apart:.2f} mm wider at least"


def _clamps(sheet: Sheet, swept: Area, way: Area, wide: float) -> Iterator[Told]:
    clamps = blocked(sheet)
    if clamps is not None and swept.overlap(clamps) > 0:
        text = f"reaches {wide:.2f} mm from its way, a clamp or screw is {clamps.gap(way):.2f} mm from it"
        yield text, "another place for it, or for the part"


def _own(operation: EdgeCut, work: Work, swept: Area) -> Iterator[Told]:
    """The part itself beyond the edge: another wall near an inside corner."""
    band = Area.swept([_rim(operation)], operation.form.width + BAND)
    struck = swept.within(work.body.minus(band))
    if struck.size > TOUCH:
        at = struck.inner_point
        text = f"would cut another wall of the part at ({at.x:.1f}, {at.y:.1f}) on the sheet"
        yield text, "end the stretch sooner, or make the edge all round"


def _rim(operation: EdgeCut) -> list[Segment]:
    """The rim that the edge is for; straight on past its open ends, as the tool goes."""
    ring, stretch = ring_of(operation.contour), operation.stretch
    if stretch is None:
        return list(ring.segments)
    chain = ring.stretch(stretch.start, stretch.stop)
    far = 2 * operation.tool.radius + operation.form.width
    if stretch.open_start:
        begin = chain[0].start
        chain.insert(0, Segment(begin.minus(chain[0].start_direction.times(far)), begin))
    if stretch.open_stop:
        end = chain[-1].end
        chain.append(Segment(end, end.plus(chain[-1].end_direction.times(far))))
    return chain
