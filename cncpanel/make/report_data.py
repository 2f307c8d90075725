"""A report as data for other programs."""

import hashlib
from typing import Any

from cncpanel import __version__
from cncpanel.make.folder import MADE_BY
from cncpanel.make.prove_flow import Proved
from cncpanel.make.record import finding_data

Data = dict[str, Any]


def proved_data(proved: Proved) -> Data:
    """What `prove --json` prints; lengths in mm, program coordinates."""
    report = proved.report
    return {
        "made_by": MADE_BY,
        "version": __version__,
        "units": "mm",
        "machine": proved.machine.name,
        "programs": [
            {"name": name, "sha256": hashlib.sha256(text.encode("latin-1")).hexdigest()}
            for name, text in proved.programs
        ],
        "verdict": report.verdict,
        "findings": [finding_data(finding) for finding in report.findings],
        "dropped": report.dropped,
        "not_judged": [{"what": n.what, "why": n.why, "safety": n.safety} for n in report.not_judged],
        "numbers": report.numbers,
    }
