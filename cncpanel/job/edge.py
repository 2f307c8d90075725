"""What a rim gets: rounded, bevelled, or slotted for a T-moulding; all round, or along a stretch of it."""

from collections.abc import Iterator, Mapping
from typing import Any, ClassVar, Literal

from pydantic import Field

from cncpanel.job.table import Flag, Keys, NotNegative, Number, Positive, Table, Text, Whole

Side = Literal["bottom", "right", "top", "left"]


class TSlot(Table):
    """The slot that a T-moulding is knocked into, along the rim: cut at the bench, unless `bench = false`."""

    width: Positive
    depth: Positive = Field(description="from the rim into the panel")
    middle: Positive | None = Field(None, description="of its width under the show face; absent: half the thickness")


class RimPart(Table):
    """A stretch of a rim, or all of it."""

    side: Side | None = Field(None, description="the straight stretches on that side of its box; absent: all round")
    start: NotNegative = Field(0, description="distance from the stretch's beginning (counter-clockwise)")
    stop: Positive | None = Field(None, description="the same for its end; absent: the whole stretch")

    @classmethod
    def broken(cls, table: Mapping[str, Any]) -> Iterator[str]:
        """A part of a stretch is a part of something."""
        yield from super().broken(table)
        if table.keys() & {"start", "stop"} and not table.keys() & set(cls.stretched()):
            yield f"start and stop are distances along a stretch (with {' or '.join(cls.stretched())})"

    @classmethod
    def stretched(cls) -> tuple[str, ...]:
        """The keys that choose a stretch."""
        return ("side",)


class RimEdge(RimPart):
    """What the rim of an opening gets: a slot by hand unless the job says otherwise, all else by the machine."""

    ONE_OF = (("round", "bevel_deg", "t_slot"),)
    MOST_ONE_OF: ClassVar[tuple[Keys, ...]] = (("depth", "width"),)
    run_out: Positive | None = Field(
        None, description="over how much of the stretch it tapers out where it does not end at a corner; "
        "absent: 3 times its radius or width"
    )  # fmt: skip
    round: Positive | None = None
    bevel_deg: Number | None = Field(None, gt=0, lt=90, description="from the square wall")
    depth: Positive | None = Field(None, description="a bevel's, down the wall; absent: the whole thickness")
    width: Positive | None = Field(None, description="a bevel's, along the face")
    t_slot: TSlot | None = None
    faces: Literal["show", "back", "both"] = "show"
    bench: Flag | None = Field(
        None, description="done by hand and listed there; absent: a t_slot is, the machine makes the others"
    )
    tool: Text | None = Field(None, description="a tool of the rack by name; absent: chosen")

    @classmethod
    def broken(cls, table: Mapping[str, Any]) -> Iterator[str]:
        """Depth and width are a bevel's; run-outs and tools are for the machine."""
        yield from super().broken(table)
        for key in ("depth", "width"):
            if key in table and "bevel_deg" not in table:
                yield f"{key} is given without bevel_deg (a rounding's depth is its radius)"
        if "t_slot" in table and "run_out" in table:
            yield "run_out is for roundings and bevels: a t_slot ends within its stretch as its disc leaves it"
        if "t_slot" in table and "tool" in table and table.get("bench") is not False:
            yield "tool is for the machine, a t_slot is cut at the bench unless bench = false"

    @property
    def by_hand(self) -> bool:
        """Whether it is left to the bench."""
        return self.t_slot is not None if self.bench is None else self.bench


class OutlinePart(RimPart):
    """A part of the panel's own rim, or of an opening's by its name."""

    MOST_ONE_OF: ClassVar[tuple[Keys, ...]] = (
        ("side", "edges", "between"),
        ("opening", "edges"),
        ("opening", "between"),
    )
    edges: tuple[Whole, ...] | None = Field(
        None, min_length=1, max_length=1000, description="the outline's edges that follow one another, by number from 0"
    )
    between: tuple[Text, Text] | None = Field(
        None, description="from one named corner of the outline counter-clockwise to another"
    )
    opening: Text | None = Field(None, description="that opening's rim; absent: the outline")

    @classmethod
    def stretched(cls) -> tuple[str, ...]:
        """The keys that choose a stretch."""
        return ("side", "edges", "between")


class Edge(OutlinePart, RimEdge):
    """What the panel's own rim gets, or that of an opening by its name."""

    MOST_ONE_OF = (*RimEdge.MOST_ONE_OF, *OutlinePart.MOST_ONE_OF)


class TabFree(OutlinePart):
    """Where no tab is put while another place can hold: its nub would keep a joint open, or be seen."""

    why: Literal["mates", "seen"] = Field("mates", description="it meets another panel, or is looked at")
