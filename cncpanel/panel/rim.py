"""Where a recess meets the panel's rim: found, and opened beyond it for the tool to run out."""

from collections.abc import Iterator, Sequence

from cncpanel.geometry.combine import difference, overlap_area, union
from cncpanel.geometry.contour import path_of
from cncpanel.geometry.nearness import Body, depths_inside
from cncpanel.geometry.region import Region
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.stroke import stroke
from cncpanel.geometry.tolerance import PATH

# mm beyond the rim: a tool up to 16 mm wide lies wholly within, its middle on a square rim or, where a wall meets the
# rim aslant, as far out as the corner between them asks for
RUN_OUT = 16.0


def opened_at_rim(region: Region, whole: Region) -> Region:
    """The region grown by RUN_OUT beyond the rim where its boundary lies on it; as it is where it does not."""
    chains = list(_rim_chains(region, whole))
    if not chains:
        return region
    bands = [band for chain in chains for band in stroke(path_of(chain), 2 * RUN_OUT, "round", "round")]
    outward = difference(union((region, *bands)), difference((whole,), (region,)))
    return max(outward, key=lambda piece: overlap_area(piece, region))


def _rim_chains(region: Region, whole: Region) -> Iterator[Sequence[Segment]]:
    """The unbroken stretches of the region's outer contour that lie on the panel's."""
    segments = region.outer.segments
    on_rim = _on_rim(segments, whole)
    if all(on_rim):
        yield segments
        return
    first = on_rim.index(False)
    chain: list[Segment] = []
    for number in range(first, first + len(segments) + 1):
        if on_rim[number % len(segments)]:
            chain.append(segments[number % len(segments)])
        elif chain:
            yield chain
            chain = []


def _on_rim(segments: Sequence[Segment], whole: Region) -> list[bool]:
    """Whether start, quarters and end of each segment all lie on the outline."""
    fractions = (0.0, 0.25, 0.5, 0.75, 1.0)
    points = [Body(segment.point_at(fraction)) for segment in segments for fraction in fractions]
    near = [abs(depth) <= PATH for depth, _ in depths_inside(points, whole)]
    return [all(near[n : n + len(fractions)]) for n in range(0, len(near), len(fractions))]
