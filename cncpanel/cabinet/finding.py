"""What a check of the whole cabinet found: passed or not, in numbers, and which panel to change."""

from dataclasses import dataclass
from typing import Literal

from cncpanel.errors import Place

Verdict = Literal["ok", "look", "fails"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One check's answer. `source` says where its limit comes from; `place` is the panel or key to change."""

    check: str
    verdict: Verdict
    text: str
    place: Place
    source: str = ""

    def __str__(self) -> str:
        """A line for the screen."""
        where = f"{self.place}: " if self.verdict != "ok" else ""
        source = f" [{self.source}]" if self.source else ""
        return f"{self.verdict:5} {self.check}: {where}{self.text}{source}"
