"""People and place: whether it comes in, stands, and suits those who use it. Designed towards, not a certificate."""

from cncpanel.cabinet.doorway import doorway_findings
from cncpanel.cabinet.finding import Finding
from cncpanel.cabinet.people import people_findings
from cncpanel.cabinet.scene import Scene
from cncpanel.cabinet.stability import stability_findings
from cncpanel.cabinet.touch import touch_findings


def suits_findings(scene: Scene) -> tuple[Finding, ...]:
    """What was found, in the order of the checks."""
    return (
        *doorway_findings(scene),
        *people_findings(scene),
        *touch_findings(scene),
        *stability_findings(scene),
    )
