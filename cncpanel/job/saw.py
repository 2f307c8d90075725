"""A table saw and the habits of who stands at it: what a saw plan keeps to.

It stands in the job, not under machines/: a saw has a dozen figures, most of them habits that change with the job, and
a shop without a router then has one file and no machine to name.
"""

from typing import Annotated

from pydantic import Field

from cncpanel.job.table import Length, NotNegative, Number, Positive, Table, Whole, within


class Saw(Table):
    """Sources of the defaults: shop tables unless said otherwise; every one can be set to what the saw really does."""

    kerf: Annotated[Length, within(least=0.5, most=10)] = Field(
        3.2, description="what the blade takes: full 1/8 in, thin 3/32 in (2.4); measure a test cut"
    )
    trim: NotNegative = Field(5, description="first trim: taken off every edge of the sheet, the blade's cut in it")
    widest_rip: Positive = Field(1250, description="how far the fence goes from the blade")
    safe_strip: Annotated[Length, within(least=20)] = Field(
        50, description="nothing narrower runs between fence and blade"
    )
    fence_edge: Annotated[Length, within(least=150)] = Field(
        300, description="nothing whose edge is shorter, or shorter than its distance to the blade, runs on the fence"
    )
    longest_crosscut: Positive | None = Field(
        None,
        description="what gauge, sled or sliding table crosses in one cut; as long as the sheet: strips of that too, "
        "wider than the fence goes; absent: a strip of any width",
    )
    tilt_deg: Annotated[Number, Field(ge=0, le=60)] = Field(45, description="how far the blade tilts")
    oversize: NotNegative = Field(5, description="left on each side of a shaped panel, which is then cut to a template")
    stages: Annotated[Whole, Field(ge=2, le=3)] = Field(
        3, description="2: rip, crosscut; 3: then rip the pieces once more"
    )
    scale: Positive | None = Field(
        None, description="the fence scale's finest division; absent: 0.5 mm, 1/64 in where lengths are told in inches"
    )
    steps: Annotated[Whole, Field(ge=0, le=100_000)] = Field(600, description="tries to find a better plan")
    seed: Annotated[Whole, Field(ge=0, le=2**31 - 1)] = 1
