"""A cut that goes part way, as it was drawn: before overlaps are settled and before the rim cuts it off."""

from dataclasses import dataclass

from cncpanel.geometry.region import Region
from cncpanel.job.model import Lines
from cncpanel.panel.panel import RecessKind
from cncpanel.panel.subject import Subject


@dataclass(frozen=True, slots=True, kw_only=True)
class Pocket:
    """Regions of one depth, inside the panel.

    `family` is the feature it belongs to: a recess and its steps are one family, within which the deeper wins without
    a word.
    """

    kind: RecessKind
    regions: tuple[Region, ...]
    depth: float
    tool: str | None
    subject: Subject
    family: tuple[str | int, ...]
    lines: Lines = "round"
