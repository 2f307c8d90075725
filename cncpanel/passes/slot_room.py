"""Whether a slot's disc and its channel have room: neighbours, clamps, the sheet's edge, the part's other walls."""

from collections.abc import Iterator, Sequence

from cncpanel.errors import Gathering
from cncpanel.geometry.area import Area
from cncpanel.geometry.ring import ring_of
from cncpanel.geometry.segment import Segment
from cncpanel.layout.layout import Sheet
from cncpanel.operation.operation import SlotChannel, SlotCut
from cncpanel.operation.slot_way import AT_THE_BENCH
from cncpanel.passes.blocked import blocked
from cncpanel.passes.draft import Draft
from cncpanel.passes.limits import named
from cncpanel.passes.slot import slot_ways
from cncpanel.passes.work import Work

BAND = 0.05  # mm beside the slot: chords decide no finer
TOUCH = 0.05  # mm2; less is a grazing of chords
OVER = 0.05  # mm over the sheet's edge that rounding may seem to go

Told = tuple[str, str]  # what is wrong, what is allowed


def tell_channel_room(
    operation: SlotChannel,
    drafts: Sequence[Draft],
    work: Work,
    parts: Sequence[Work],
    sheet: Sheet,
    gathering: Gathering,
) -> None:
    """Gather what lies in the channel: parts, clamps, the sheet's edge."""
    chains = [chain for one in drafts for chain in one.chains_at(-operation.depth)]
    if not chains:
        return
    opened = Area.swept(chains, operation.tool.radius - BAND)
    found = (*_others(work, parts, opened), *_clamps(sheet, opened), *_edge(sheet, opened, operation.slot))
    _tell(f"its channel, {operation.slot.room:.2f} mm wide,", found, operation.slot, work, gathering)


def tell_slot_room(
    operation: SlotCut, drafts: Sequence[Draft], work: Work, parts: Sequence[Work], sheet: Sheet, gathering: Gathering
) -> None:
    """Gather what the disc would cut besides the slot, and what of the slot it would leave."""
    chains = slot_ways(drafts, operation)
    if not chains:
        text = "finds no way along this rim that it could go into from clear of the part: a wall beside it is too near"
        _tell(named(operation.tool), [(text, "a stretch further from that wall")], operation, work, gathering)
        return
    swept = Area.swept(chains, operation.tool.radius)
    found = (*_others(work, parts, swept), *_clamps(sheet, swept), *_own(operation, work, swept))
    _tell(named(operation.tool), found, operation, work, gathering)


def _tell(who: str, found: Sequence[Told], operation: SlotCut, work: Work, gathering: Gathering) -> None:
    place = work.rims.get(operation.feature, work.place)
    for text, allowed in found:
        said = f"{work.part.label}, {operation.feature}: {who} {text}"
        gathering.problem(place, said, f"{allowed}; {AT_THE_BENCH}")


def _others(work: Work, parts: Sequence[Work], swept: Area) -> Iterator[Told]:
    for other in parts:
        body = other.body if work.lies_in(other) else other.area
        if other is not work and swept.overlap(body) > TOUCH:
            yield f"would cut {other.part.label}", "a wider gap between them"


def _clamps(sheet: Sheet, swept: Area) -> Iterator[Told]:
    clamps = blocked(sheet)
    if clamps is not None and swept.overlap(clamps) > 0:
        yield "would meet a clamp or screw", "another place for it, or for the part"


def _edge(sheet: Sheet, opened: Area, slot: SlotCut) -> Iterator[Told]:
    left, low, right, high = opened.bounds
    over = max(-left, -low, right - sheet.length, high - sheet.width)
    if over > OVER:
        yield f"goes {over:.2f} mm over the sheet's edge", f"a margin of the stock of {slot.room:g} mm at least"


def _own(operation: SlotCut, work: Work, swept: Area) -> Iterator[Told]:
    """The part itself: beyond the slot nothing, within it all but the disc's round at ends on the rim."""
    rim = _rim(operation)
    struck = swept.within(work.body).minus(Area.along(_past_corners(rim, operation), operation.into + BAND))
    if struck.size > TOUCH:
        at = struck.inner_point
        text = f"would cut the part beyond the slot at ({at.x:.1f}, {at.y:.1f}) on the sheet"
        yield text, "an end of the stretch further from corners, or a slot all round"
    left = Area.along(rim, operation.into - BAND).within(work.body).minus(swept)
    for end in _rounds(operation):
        left = left.minus(end)
    if left.size > TOUCH:
        at = left.inner_point
        text = f"does not reach all of the slot at ({at.x:.1f}, {at.y:.1f}) on the sheet"
        yield text, "no inside corner tighter than it, ends of the stretch away from tight corners, or a smaller disc"


def _rim(operation: SlotCut) -> list[Segment]:
    ring, stretch = ring_of(operation.contour), operation.stretch
    return list(ring.segments) if stretch is None else ring.stretch(stretch.start, stretch.stop)


def _past_corners(rim: list[Segment], operation: SlotCut) -> list[Segment]:
    """The rim, straight on past corners that the disc runs off, as far as it reaches there."""
    if operation.stretch is None:
        return rim
    begin, end, far = rim[0].start, rim[-1].end, operation.half_chord
    before = [Segment(begin.minus(rim[0].start_direction.times(far)), begin)] if operation.stretch.open_start else []
    behind = [Segment(end, end.plus(rim[-1].end_direction.times(far)))] if operation.stretch.open_stop else []
    return [*before, *rim, *behind]


def _rounds(operation: SlotCut) -> Iterator[Area]:
    """What ends on the rim may leave."""
    ring, stretch = ring_of(operation.contour), operation.stretch
    if stretch is None:
        return
    if not stretch.open_start:
        yield Area.along(ring.stretch(stretch.start, stretch.start + operation.half_chord), operation.into)
    if not stretch.open_stop:
        yield Area.along(ring.stretch(stretch.stop - operation.half_chord, stretch.stop), operation.into)
