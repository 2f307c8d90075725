"""What the store of offcuts holds: pieces, what they are kept for, and which sheets were said to be cut.

All lengths are millimetres: the file may write them as workshops do ("24 in").
"""

from typing import Annotated, Literal

from pydantic import Field

from cncpanel.job.model import Stock
from cncpanel.job.table import Name, Positive, PositivePair, Table, Text, Whole, within

LEAST = (400.0, 250.0)  # mm; a smaller piece is not worth its place on the rack (common practice, no source)
Material = Literal["mdf", "particleboard", "plywood", "softwood", "hardwood", "acrylic"]


class Claim(Table):
    """A piece is kept for one sheet of a set: nobody else may draw on it."""

    job: Text = Field("", max_length=100)
    sheet: Whole = Field(ge=1, description="of that job")
    sheet_id: Text = Field(min_length=1, max_length=40, description="as the set's job.json says it")
    folder: Text = Field(min_length=1, max_length=4000, description="where the set lies")


class Offcut(Table):
    """One piece: `size` is its length along the grain, where there is one, and its width."""

    name: Name
    material: Material
    thickness: Annotated[Positive, within(most=100)]
    measured: tuple[Positive, ...] = Field((), max_length=100, description="caliper readings")
    size: PositivePair
    grain: Literal["none", "long"] = "none"
    stock: Text = Field("", max_length=60, description="what its sheet was called")
    origin: Text = Field("", max_length=200, description="job and sheet that it comes from")
    claim: Claim | None = None

    @property
    def state(self) -> str:
        """For people."""
        return f"kept for {self.claim.job}, sheet {self.claim.sheet}" if self.claim else "free"

    def is_like(self, stock: Stock) -> bool:
        """Whether it is of the stock's material, nominal thickness and grain."""
        alike = self.material == stock.material and abs(self.thickness - stock.thickness) < 1e-6
        return alike and (stock.grain == "none" or self.grain == stock.grain)


class CutSheet(Table):
    """A sheet that the operator said was cut, and how often."""

    sheet_id: Text = Field(min_length=1, max_length=40)
    job: Text = Field("", max_length=100)
    sheet: Whole = Field(ge=1)
    times: Whole = Field(1, ge=1, le=100_000)


class Store(Table):
    """The whole file."""

    least: PositivePair = Field(LEAST, description="the smallest piece worth keeping, either way round")
    offcut: tuple[Offcut, ...] = Field((), max_length=10_000)
    cut: tuple[CutSheet, ...] = Field((), max_length=100_000)

    def piece(self, name: str) -> Offcut | None:
        """The piece of that name."""
        return next((piece for piece in self.offcut if piece.name == name), None)

    def with_pieces(self, *pieces: Offcut) -> "Store":
        """Those pieces put in or changed; the others stay as they are."""
        changed = {piece.name: piece for piece in pieces}
        old = [changed.pop(piece.name, piece) for piece in self.offcut]
        return self.model_copy(update={"offcut": (*old, *changed.values())})

    def without(self, *names: str) -> "Store":
        """Those pieces taken out."""
        return self.model_copy(update={"offcut": tuple(piece for piece in self.offcut if piece.name not in names)})

    def times_cut(self, sheet_id: str) -> int:
        """How often that sheet was said to be cut."""
        return sum(cut.times for cut in self.cut if cut.sheet_id == sheet_id)

    def with_cut(self, sheet_id: str, job: str, sheet: int) -> "Store":
        """The sheet counted once more."""
        others = tuple(cut for cut in self.cut if cut.sheet_id != sheet_id)
        times = self.times_cut(sheet_id) + 1
        counted = CutSheet(sheet_id=sheet_id, job=job, sheet=sheet, times=times)
        return self.model_copy(update={"cut": (*others, counted)})
