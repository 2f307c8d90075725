"""Open strip-packing instances (ESICUP collection, CC0), read from the data folder."""

import json
from pathlib import Path
from typing import Any

from cncpanel.layout.strip import ask


def instance(folder: Path, name: str) -> dict[str, Any]:
    return dict(json.loads((folder / f"{name}.json").read_text(encoding="utf-8")))


def density_of(found: dict[str, Any], *, busy_s: float | None = None, reports: int | None = None) -> float:
    """Of the strip's area, in so many seconds of one processor or reports; pieces' area as the instance states it."""
    items = [
        {
            "shape": item["components"][0]["points"],
            "demand": item["demand"],
            "angles": item["allowed_orientations"],
        }
        for item in found["items"]
    ]
    height = found["board_size"][1]
    answer = ask(
        {"height": height, "seed": 1, "reports": reports, "workers": 1, "busy_s": busy_s, "items": items}, seconds=None
    )
    assert answer is not None
    assert len(answer["placed"]) == found["pieces"]
    return float(found["total_piece_area"] / (height * answer["length"]))
