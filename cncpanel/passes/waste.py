"""Slivers of scrap too small to hold: cut away whole, while the part beside them still holds them."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from cncpanel.geometry.area import Area
from cncpanel.geometry.pieces import Pieces, coarse_regions
from cncpanel.machine.tool import Tool
from cncpanel.operation.operation import Clear
from cncpanel.passes.draft import Draft, Title

SMALL = 3.0  # tool diameters; a piece of scrap of no larger side takes no tab
THIN = 1.0  # mm of mean width; a longer strip that is no wider breaks: common practice, no source
SMALL_AREA = 500.0  # mm2; nor does a smaller one: common practice, no source
BESIDE = 0.2  # mm from a kerf; a sliver this near borders on it
SPARE = 0.1  # mm beyond the sliver's rim that its clearing may go besides the tool's radius: chords are coarse


@dataclass(frozen=True, slots=True)
class Kerf:
    """What one profile cuts right through, whose it is and with which tool."""

    part: str
    panel: str
    tool: Tool
    area: Area


def slivers(pieces: Pieces, kept: Iterable[int], kerfs: Sequence[Kerf]) -> Iterator[tuple[Area, Kerf]]:
    """Scrap to be cut away, each with the kerf of the smallest tool that it borders on."""
    held = set(kept)
    pieces_left = [area for number, area in enumerate(pieces.areas) if number not in held]
    for area in (*pieces_left, *pieces.dust):
        beside = [kerf for kerf in kerfs if kerf.area.gap(area) < BESIDE]
        if beside:
            kerf = min(beside, key=lambda one: one.tool.cut_diameter)
            if area in pieces.dust or _is_small(area, kerf.tool):
                yield area, kerf


def _is_small(area: Area, tool: Tool) -> bool:
    xmin, ymin, xmax, ymax = area.bounds
    small = area.size < SMALL_AREA or area.mean_width < THIN
    return small or max(xmax - xmin, ymax - ymin) < SMALL * tool.cut_diameter


def clearing(area: Area, kerf: Kerf) -> Iterator[tuple[Clear, Title]]:
    """What takes the sliver out: through, with the tool of the kerf beside it."""
    title = Title("hole", kerf.part, "waste", kerf.tool)
    for region in coarse_regions(area.grown(kerf.tool.radius + SPARE)):
        operation = Clear(
            panel=kerf.panel, feature="waste", region=region, open_region=region, depth=None, tool=kerf.tool
        )
        yield operation, title


def swept_through(drafts: Iterable[Draft], height: float) -> Area:
    """What the runs' tools sweep in steps that come down to `height`: what is left under them holds nothing."""
    chains = [(draft.run.tool.radius, chain) for draft in drafts for chain in draft.chains_at(height)]
    shape = Area.of(())
    for radius in sorted({radius for radius, _ in chains}):
        shape = shape.plus(Area.swept([chain for r, chain in chains if r == radius], radius))
    return shape
