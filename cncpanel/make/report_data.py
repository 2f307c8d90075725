"""A report as data for other programs."""

import hashlib
from typing import Any

from cncpanel import __version__
from cncpanel.make.folder import MADE_BY
from cncpanel.make.prove_flow import Proved
from cncpanel.make.record import report_data, time_data

Data = dict[str, Any]


def proved_data(proved: Proved) -> Data:
    """What `prove --json` prints; lengths in mm, program coordinates, times in seconds."""
    return {
        "made_by": MADE_BY,
        "version": __version__,
        "units": "mm",
        "machine": proved.machine.name,
        "programs": [
            {
                "name": one.name,
                "sha256": hashlib.sha256(one.text.encode("latin-1")).hexdigest(),
                "time": time_data(time),
            }
            for one, time in zip(proved.read, proved.times, strict=True)
        ],
        **report_data(proved.report),
    }
