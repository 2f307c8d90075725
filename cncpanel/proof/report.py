"""The witness's answer on the programs of one sheet."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from cncpanel.proof.circumstances import NotJudged
from cncpanel.proof.finding import Finding
from cncpanel.proof.tally import Tally

Verdict = Literal["pass", "pass with remarks", "fail"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """Findings in the order of programs and lines, the number left out, and what was measured.

    `numbers` holds plain figures such as moves, cut_mm (feed travel), rapid_mm, loose_pieces. `tolerances` says how
    closely what is left was compared with what is wanted; empty where nothing is known to be wanted.
    """

    findings: tuple[Finding, ...]
    dropped: int
    numbers: dict[str, float]
    not_judged: tuple[NotJudged, ...] = ()
    tolerances: tuple[str, ...] = ()

    @property
    def verdict(self) -> Verdict:
        """Fail on any safety finding or error, and while one that bears on safety is not judged; remarks alone pass."""
        if any(finding.severity != "remark" for finding in self.findings) or any(n.safety for n in self.not_judged):
            return "fail"
        return "pass with remarks" if self.findings or self.not_judged else "pass"

    @property
    def passed(self) -> bool:
        """Whether the programs may be handed out."""
        return self.verdict != "fail"

    def and_also(self, other: "Report") -> "Report":
        """This one's numbers, and what both found."""
        return Report(
            findings=(*other.findings, *self.findings),
            dropped=self.dropped + other.dropped,
            numbers=self.numbers,
            not_judged=tuple(sorted({*self.not_judged, *other.not_judged})),
            tolerances=self.tolerances,
        )


def report_of(
    findings: Iterable[Finding],
    numbers: dict[str, float],
    not_judged: Iterable[NotJudged] = (),
    dropped: int = 0,
    tolerances: tuple[str, ...] = (),
) -> Report:
    """The report, each kind of finding capped for each program; `dropped` were left out before."""
    tally = Tally()
    tally.add_all(findings)
    return Report(
        findings=tuple(tally.kept),
        dropped=tally.dropped + dropped,
        numbers=numbers,
        not_judged=tuple(sorted(set(not_judged))),
        tolerances=tolerances,
    )
