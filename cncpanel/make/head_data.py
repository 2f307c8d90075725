"""What every record says first: who made it and for which job."""

from typing import Any

from cncpanel import __version__
from cncpanel.job.model import JobHead
from cncpanel.make.folder import MADE_BY


def head_data(head: JobHead) -> dict[str, Any]:
    """The maker, its version and the job's head."""
    return {
        "made_by": MADE_BY,
        "version": __version__,
        "job": {
            "name": head.name,
            "revision": head.revision,
            "date": head.date,
            "units": head.units,
            "note": head.note,
        },
    }
