"""It fits, shown: every check of the assembly, each with its numbers and the panel to change."""

from cncpanel.cabinet.finding import Finding
from cncpanel.cabinet.fit_gaps import inset_findings, reveal_findings
from cncpanel.cabinet.fit_joints import joint_findings
from cncpanel.cabinet.fit_overlap import overlap_findings
from cncpanel.cabinet.fit_path import path_findings
from cncpanel.cabinet.fit_services import service_findings
from cncpanel.cabinet.scene import Scene


def fit_findings(scene: Scene) -> tuple[Finding, ...]:
    """What was found, in the order of the checks."""
    return (
        *overlap_findings(scene),
        *joint_findings(scene),
        *inset_findings(scene),
        *reveal_findings(scene),
        *path_findings(scene),
        *service_findings(scene),
    )
