"""Slivers of scrap too small to hold: cut away whole, while the part beside them still holds them."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from cncpanel.geometry.area import Area
from cncpanel.geometry.pieces import Pieces, coarse_regions
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region
from cncpanel.geometry.segment import Segment
from cncpanel.machine.tool import Tool
from cncpanel.operation.operation import Clear
from cncpanel.passes.clear import clear, straight
from cncpanel.passes.draft import Draft, Title
from cncpanel.passes.shop import Shop
from cncpanel.passes.spot import Wall

SMALL = 3.0  # tool diameters; a piece of scrap of no larger side takes no tab
THIN = 1.0  # mm of mean width; a longer strip that is no wider breaks: common practice, no source
LARGE = 5000.0  # mm2; larger scrap is worth more than the time that it takes to clear it: own choice
SMALL_AREA = 500.0  # mm2; nor does a smaller one: common practice, no source
BESIDE = 0.2  # mm from a kerf; a sliver this near borders on it
TOUCH = 0.01  # mm, mm2; what a sweep may seem to take of a part: chords decide no finer
LEAST_SLOPE = 0.5  # tool diameters; no slope goes down a shorter way
FLAKE, FLAKE_AREA = 0.9, 5.0  # mm, mm2; what is no wider and no larger breaks off as dust: common practice, no source
SPARE = 0.1  # mm beyond the sliver's rim that its clearing may go besides the tool's radius: chords are coarse


@dataclass(frozen=True, slots=True)
class Kerf:
    """What one profile cuts right through, whose it is and with which tool; `outside`: an outline."""

    part: str
    panel: str
    tool: Tool
    area: Area
    outside: bool = True


def slivers(
    pieces: Pieces,
    kept: Iterable[int],
    kerfs: Sequence[Kerf],
    weak: Callable[[int], bool] = lambda _: False,
) -> Iterator[tuple[Area, Kerf]]:
    """Scrap to be cut away, each with the kerf of the smallest tool that it borders on.

    `weak`: whether what holds a piece while it is parted gives way: such scrap goes too, unless it is large.
    """
    held = set(kept)
    left = {area: number for number, area in enumerate(pieces.areas) if number not in held}
    for area in (*left, *pieces.dust):
        beside = [kerf for kerf in kerfs if kerf.area.gap(area) < BESIDE]
        if beside:
            kerf = min(beside, key=lambda one: one.tool.cut_diameter)
            gives = area not in left or _is_small(area, kerf.tool) or (area.size < LARGE and weak(left[area]))
            if gives and not _is_flake(area):
                yield area, kerf


def with_entries(area: Area, kerf: Kerf, wall: Wall, allowance: float) -> Area:
    """The sliver with what the kerf's passes take beyond the kerf's own width where they come down or leave beside it.

    That wood stands alone once the sliver is gone, and would come free in the passes along `wall`.
    """
    band = Area.swept([wall.contour.segments], wall.diameter + allowance + BESIDE)
    for beyond in kerf.area.minus(band).parts:
        if beyond.size > TOUCH and beyond.gap(area) < BESIDE:
            area = area.plus(beyond)
    return area


def flakes(pieces: Pieces) -> Iterator[Area]:
    """Scrap that breaks off and goes up with the dust: nothing cuts it away, nothing holds it."""
    return filter(_is_flake, pieces.areas)


def _is_flake(area: Area) -> bool:
    return area.size < FLAKE_AREA and area.grown(-FLAKE / 2).is_empty


def _is_small(area: Area, tool: Tool) -> bool:
    xmin, ymin, xmax, ymax = area.bounds
    small = area.size < SMALL_AREA or area.mean_width < THIN
    return small or max(xmax - xmin, ymax - ymin) < SMALL * tool.cut_diameter


def clearing(area: Area, kerf: Kerf, spared: Area, shop: Shop) -> Iterator[Draft]:
    """What takes the sliver out: through, with the tool of the kerf beside it; nothing where that would meet `spared`.

    One straight way over its length where the tool's disc covers its width, else cleared like an opening.
    """
    title, radius = Title("hole", kerf.part, "waste", kerf.tool), kerf.tool.radius
    spine = area.spine(radius - SPARE)
    line = _long_enough(spine, kerf.tool) if spine else None
    if line and Area.swept([[line]], radius).overlap(spared) < TOUCH:
        yield from straight(_through(kerf, *coarse_regions(area.grown(radius))[:1]), line, title, shop)
    elif area.grown(radius).overlap(spared) < TOUCH:
        for region in coarse_regions(area.grown(radius + SPARE)):
            yield from clear(_through(kerf, region), title, shop)


def _through(kerf: Kerf, region: Region) -> Clear:
    return Clear(panel=kerf.panel, feature="waste", region=region, open_region=region, depth=None, tool=kerf.tool)


def _long_enough(spine: Segment, tool: Tool) -> Segment:
    """The spine, longer where the tool has to come down a slope along it."""
    need = LEAST_SLOPE * tool.cut_diameter
    if tool.plunges or spine.chord >= need:
        return spine
    along = spine.start_direction if spine.chord > TOUCH else Point(1.0, 0.0)
    more = along.times((need - spine.chord) / 2)
    return Segment(spine.start.minus(more), spine.end.plus(more))


def swept_through(drafts: Iterable[Draft], height: float) -> Area:
    """What the runs' tools sweep in steps that come down to `height`: what is left under them holds nothing."""
    chains = [(draft.run.tool.radius, chain) for draft in drafts for chain in draft.chains_at(height)]
    shape = Area.of(())
    for radius in sorted({radius for radius, _ in chains}):
        shape = shape.plus(Area.swept([chain for r, chain in chains if r == radius], radius))
    return shape
