"""How the job has its parts and its sheet held: tabs, a skin or vacuum; screws that the programs stop for."""

from typing import Annotated, Literal

from pydantic import Field

from cncpanel.job.table import Length, NotNegative, Positive, Table, within

Hold = Literal["tabs", "skin", "vacuum"]
HOLE_PLAY = 0.5  # mm wider than the thread: the screw turns freely in the sheet and draws it down; common practice


class ScrewSettings(Table):
    """Screws through the waste into the spoilboard: holes drilled first, a stop to drive them, then kept clear of.

    They stand where `keep_out` of the stock names one with a `hole`, else where the layout leaves room.
    """

    diameter: Annotated[Positive, within(most=12)] = Field(description="of the thread, outside")
    head: Annotated[Positive, within(most=40)] = Field(description="the head's diameter, its washer's where it has one")
    head_height: NotNegative = Field(description="how far the driven head stands over the sheet's top")
    length: Annotated[Positive, within(most=150)] = Field(description="from under the head to the point")
    hole: Positive | None = Field(None, description="through the sheet; absent: the thread and half a millimetre")
    grip: Annotated[Length, within(least=3)] = Field(
        8, description="least length of thread in the spoilboard: common practice, no source"
    )
    spacing: Annotated[Positive, within(least=50)] = Field(
        400, description="no waste that could take a screw lies farther from one: common practice, no source"
    )

    @property
    def hole_diameter(self) -> float:
        """Of the hole through the sheet, mm."""
        return self.hole if self.hole is not None else self.diameter + HOLE_PLAY
