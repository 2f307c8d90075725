"""What each sheet of a saw plan leaves for the rack, in the words that `offcuts cut` reads from a set's job.json."""

import hashlib
import json
from dataclasses import asdict
from typing import Any

from cncpanel.job.read import ReadJob
from cncpanel.layout.saw.plan import Leftover, SawPlan, SawSheet
from cncpanel.make.sheet_id import LETTERS, LONG, piece_name
from cncpanel.store.offcut import LEAST

Data = dict[str, Any]


def rack_data(read: ReadJob, plan: SawPlan) -> list[Data]:
    """One table a sheet; pieces by the job's smallest size worth keeping, else the store's usual one."""
    least = read.job.settings.offcuts.least or LEAST
    return [_sheet(read, sheet, least) for sheet in plan.sheets]


def _sheet(read: ReadJob, sheet: SawSheet, least: tuple[float, float]) -> Data:
    stock, identity = sheet.stock, _identity(read, sheet)
    kept = sorted((one for one in sheet.leftovers if _is_worth(one, least)), key=lambda one: -one.size[0] * one.size[1])
    return {
        "number": sheet.number,
        "stock": stock.name,
        "size": list(stock.sheet),
        "material": stock.material,
        "grain": stock.grain,
        "thickness": {"nominal": stock.thickness, "thickest": stock.thickest, "thinnest": stock.thinnest},
        "measured": list(stock.measured),
        "sheet_id": identity,
        "offcut": None,
        "leaves": [
            {
                "name": piece_name(identity, n),
                "piece": one.piece,
                "at": [round(side, 4) for side in one.box[:2]],
                "size": [round(side, 4) for side in one.size],
            }
            for n, one in enumerate(kept, start=1)
        ],
    }


def _is_worth(left: Leftover, least: tuple[float, float]) -> bool:
    return max(left.size) >= max(least) and min(left.size) >= min(least)


def _identity(read: ReadJob, sheet: SawSheet) -> str:
    """From the job file, the sheet's stock and its cuts."""
    told = {
        "job": read.file.sha256,
        "saw sheet": sheet.number,
        "stock": sheet.stock.model_dump(mode="json"),
        "cuts": [asdict(cut) for cut in sheet.cuts],
    }
    number = int.from_bytes(hashlib.sha256(json.dumps(told, sort_keys=True).encode()).digest(), "big")
    return "".join(LETTERS[number >> 5 * i & 31] for i in range(LONG))
