"""A tool's spread of loads as data."""

from typing import Any

from cncpanel.proof.load_spread import LoadSpread


def load_data(load: LoadSpread) -> dict[str, Any]:
    """Seconds in each tenth of the limit and over it; the band that holds four fifths of the time; the most."""
    return {
        "program": load.program,
        "tool": load.tool,
        "measure": load.measure,
        "seconds": list(load.seconds),
        "low": round(load.low, 4),
        "high": round(load.high, 4),
        "most": round(load.most, 4),
    }
