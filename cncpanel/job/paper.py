"""What a job asks of its full-size templates and of the artwork for the large-format printer."""

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field

from cncpanel.job.feature import Face
from cncpanel.job.paper_size import paper_size
from cncpanel.job.table import Length, NotNegative, Number, Positive, Table, Text, within

MadeKind = Literal["programs", "dxf", "sheets", "templates", "artwork", "saw"]

LabelStock = Literal["A4 3x8", "A4 3x7", "A4 2x7", "A4 2x4", "Letter 3x10", "Letter 2x10", "Letter 2x7", "Letter 2x5"]


def _known_paper(text: str) -> str:
    if text:
        paper_size(text)
    return text


Paper = Annotated[Text, AfterValidator(_known_paper)]
LARGEST_CORRECTION = 1.05  # a printer that is further off is not used for this
Correction = Annotated[Number, Field(ge=0.95, le=LARGEST_CORRECTION)]

STRIP = 10.0  # mm; a page's margin holds its check bars
WIDEST_MARGIN = 40.0  # mm; more is a mistake
LEAST_STEP = 30.0  # mm; tiles that bring less are no use
MOST_NAME = 127  # bytes of a name (ISO 32000-1, annex C, table C.1)
LEAST_OVERLAP = 6.0  # mm; a match mark needs so much


class TemplateSettings(Table):
    """Full-size templates on paper."""

    paper: Paper = Field("", max_length=40, description="A4, A3, Letter, Tabloid ... or a size; absent: A4 or Letter")
    margin: Annotated[Length, within(least=STRIP, most=WIDEST_MARGIN)] = STRIP
    overlap: Annotated[Length, within(least=LEAST_OVERLAP, most=50)] = 10
    correction: tuple[Correction, Correction] = Field(
        (1.0, 1.0), description="across, along: true length over printed length, for a printer known to be off"
    )
    saw: Positive | None = Field(None, description="a line this far outside: rough cut with a saw, then trimmed")
    bush: Positive | None = Field(None, description="a hand router's guide bush, outside diameter")
    bit: Positive | None = Field(None, description="the cutter that runs in the guide bush, diameter")

    @classmethod
    def broken(cls, table: Mapping[str, Any]) -> Iterator[str]:
        """Bush and bit belong together."""
        given = [key for key in ("bush", "bit") if key in table]
        if len(given) == 1:
            yield f"{given[0]} is given alone (bush and bit together)"


class ArtworkSettings(Table):
    """What all artwork of the job has in common."""

    spot: Text | None = Field(
        None, min_length=1, max_length=60, description="the cut line's spot colour, by the name the printer asks for"
    )
    bleed: NotNegative = Field(10, description="printed beyond the film's edge")
    safe: NotNegative = Field(10, description="nothing that matters this near to the panel's edge")
    hole_safe: NotNegative = Field(5, description="nor this near to a hole or an opening")
    reduce_over: Positive = Field(5080, description="a longer page is also made at 1:10")

    @classmethod
    def broken(cls, table: Mapping[str, Any]) -> Iterator[str]:
        """The spot colour's name must fit a PDF's."""
        spot = table.get("spot")
        if isinstance(spot, str) and len(spot.encode()) > MOST_NAME:
            yield f"spot takes {len(spot.encode())} bytes, a name in a PDF holds {MOST_NAME}"


class Artwork(Table):
    """A printed face of a panel."""

    face: Face = "show"
    bleed: NotNegative | None = Field(None, description="absent: the job's")
    safe: NotNegative | None = Field(None, description="absent: the job's")
    wrap: NotNegative = Field(
        0, description="how far the film goes on along the edge, after a rounding if there is one"
    )
    hand: Literal["left", "right"] | None = Field(
        None, description="which hand the plain copies are; the mirrored ones are the other"
    )
    note: Text = Field("", max_length=200)
