"""Findings as they come: so many of a kind kept, the rest counted, so that a hostile program stays small."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from cncpanel.proof.finding import Finding

MOST_PER_KIND = 50  # findings of one kind kept for each program; beyond, it is wrong throughout and the count says so


@dataclass(slots=True)
class Tally:
    """`kept` in the order in which they came; `dropped` how many more there were."""

    kept: list[Finding] = field(default_factory=list)
    dropped: int = 0
    _counts: dict[tuple[str, str], int] = field(default_factory=dict)

    def add(self, finding: Finding) -> None:
        """Keep it, or count it."""
        key = finding.program, finding.kind
        self._counts[key] = self._counts.get(key, 0) + 1
        if self._counts[key] <= MOST_PER_KIND:
            self.kept.append(finding)
        else:
            self.dropped += 1

    def add_all(self, findings: Iterable[Finding]) -> None:
        """Each of them."""
        for finding in findings:
            self.add(finding)
