"""Closed shapes on a panel: rectangles, circles, outlines of lines and arcs, contours from drawings."""

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Discriminator, Field, Tag

from cncpanel.job.table import (
    Degrees,
    Keys,
    Length,
    NotNegative,
    Pair,
    Positive,
    PositivePair,
    Table,
    Text,
    within,
)


class Corner(Table):
    """A corner of an outline; with `through` the stretch that ends here is an arc through that point."""

    to: Pair
    radius: NotNegative = Field(0, description="rounds this corner")
    through: Pair | None = None
    name: Text = Field("", max_length=40, description="for edges between corners")


class DxfOutline(Table):
    """Contours taken from a DXF file beside the job file."""

    file: str = Field(min_length=1, max_length=200)
    layer: Text | None = None
    unit: Literal["mm", "cm", "m", "inch", "foot"] | None = None
    tolerance: Annotated[Length, within(above=0, most=1)] = 0.05


def list_or_one(value: object) -> str:
    """The tag of a union that is told apart by being a list."""
    return "<list>" if isinstance(value, list | tuple) else "<one>"


def _point_or_corner(value: object) -> str | None:
    if isinstance(value, list | tuple):
        return "<point>"
    return "<corner>" if isinstance(value, Corner | Mapping) else None


Spot = Annotated[
    Annotated[Pair, Tag("<point>")] | Annotated[Corner, Tag("<corner>")],
    Discriminator(
        _point_or_corner,
        custom_error_type="not_a_spot",
        custom_error_message="a point is needed ([x, y] or a table with to)",
    ),
]
Radius = Annotated[
    Annotated[NotNegative, Tag("<one>")]
    | Annotated[tuple[NotNegative, NotNegative, NotNegative, NotNegative], Tag("<list>")],
    Discriminator(list_or_one),
]


def radius_of_rectangle(table: Mapping[str, Any]) -> Iterator[str]:
    """The sentence where a radius is given to what is no rectangle."""
    if "radius" in table and table.keys() & {"diameter", "outline", "dxf"}:
        yield "radius is given beside another shape than size (an outline's corners have each their own)"


class Shape(Table):
    """A closed shape on a panel: exactly one of size, diameter, outline or dxf."""

    ONE_OF: ClassVar[tuple[Keys, ...]] = (("size", "diameter", "outline", "dxf"),)
    MOST_ONE_OF = (("at", "centre"),)
    size: PositivePair | None = Field(None, description="rectangle: width, height")
    radius: Radius = Field(
        0, description="rectangle's corner radii; four: lower left, lower right, upper right, upper left"
    )
    diameter: Positive | None = None
    outline: tuple[Spot, ...] | None = Field(None, min_length=3, max_length=20000)
    dxf: DxfOutline | None = None
    at: Pair | None = Field(None, description="where the shape's own lower left (of its box) goes")
    centre: Pair | None = Field(None, description="where the middle of its box goes")
    turn_deg: Degrees = Field(
        0, description="turned about the middle of its box, counter-clockwise, before it is put there"
    )

    @classmethod
    def broken(cls, table: Mapping[str, Any]) -> Iterator[str]:
        """One shape, one position; radius belongs to a rectangle."""
        yield from super().broken(table)
        if not table.keys() & {"at", "centre", "outline", "dxf"}:
            yield "no position is given (at or centre)"
        yield from radius_of_rectangle(table)
