"""Does the cabinet fit: the job read, its panels resolved, every check of the whole run."""

from dataclasses import dataclass
from pathlib import Path

from cncpanel.cabinet.derive import Whole, read_cabinet
from cncpanel.cabinet.finding import Finding
from cncpanel.cabinet.fit import fit_findings
from cncpanel.cabinet.scene import Scene, scene
from cncpanel.cabinet.suits import suits_findings
from cncpanel.errors import Gathering
from cncpanel.panel.kept import Kept
from cncpanel.panel.panel import Panel
from cncpanel.panel.resolve import resolve


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """A cabinet with everything that was found."""

    scene: Scene
    fit: tuple[Finding, ...]
    suits: tuple[Finding, ...]
    gathering: Gathering

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All of them, in the order they are told."""
        return (*self.fit, *self.suits)

    @property
    def fits(self) -> bool:
        """Whether nothing fails."""
        return all(finding.verdict != "fails" for finding in self.findings)


def judge(path: Path, kept: Kept | None = None) -> Judged:
    """Judge the cabinet of the job at `path`; raises ProblemsFound, also where the job has no cabinet.

    `kept` remembers panels from one call to the next, for a job that is changed and judged again.
    """
    gathering = Gathering()
    whole = read_cabinet(path, gathering)
    panels = resolve(whole.read, gathering, kept)
    if whole.assembly is None:
        gathering.problem(
            whole.read.file.place(), "has no [cabinet], so nothing says where its panels stand", "see README"
        )
    gathering.stop_if_any()
    found = scene(whole, panels)
    return Judged(scene=found, fit=fit_findings(found), suits=suits_findings(found), gathering=gathering)


def tell_misfits(whole: Whole, panels: tuple[Panel, ...], gathering: Gathering) -> None:
    """What does not fit is a mistake of the job, what does not suit its place or its people a warning.

    A job with other mistakes is judged once those are mended.
    """
    if whole.assembly is None or gathering.problems:
        return
    found = scene(whole, panels)
    for finding in fit_findings(found):
        if finding.verdict == "fails":
            gathering.problem(finding.place, f"does not fit: {finding.text}")
    for finding in suits_findings(found):
        if finding.verdict == "fails":
            gathering.warn(finding.place, f"{finding.check}: {finding.text} [{finding.source}]")


def read_fitting(path: Path, gathering: Gathering) -> Whole:
    """The job at `path`, refused where it does not fit; raises ProblemsFound."""
    whole = read_cabinet(path, gathering)
    resolving = Gathering()
    panels = resolve(whole.read, resolving)
    if not resolving.problems:
        tell_misfits(whole, panels, gathering)
    gathering.stop_if_any()
    return whole
