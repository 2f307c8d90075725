"""What each sheet of a saw plan leaves for the rack, in the words that `offcuts cut` reads from a set's job.json."""

import hashlib
import json
from dataclasses import asdict
from typing import Any

from cncpanel.job.read import ReadJob
from cncpanel.layout.saw.plan import Leftover, SawPlan, SawSheet
from cncpanel.make.sheet_id import LETTERS, LONG, piece_name
from cncpanel.store.offcut import LEAST, Store

Data = dict[str, Any]


def rack_data(read: ReadJob, plan: SawPlan, store: Store | None) -> list[Data]:
    """One table a sheet; pieces by the smallest size worth keeping: the job's, else the store's, else the usual one."""
    return [_sheet(read, sheet, store) for sheet in plan.sheets]


def saw_identities(read: ReadJob, plan: SawPlan) -> dict[int, str]:
    """What each sheet is called in the store, by number."""
    return {sheet.number: _identity(read, sheet) for sheet in plan.sheets}


def kept_of(read: ReadJob, sheet: SawSheet, store: Store | None) -> dict[str, Leftover]:
    """The leftovers that are worth keeping, by the name on their label, the largest first."""
    least = read.job.settings.offcuts.least or (store.least if store else LEAST)
    kept = sorted((one for one in sheet.leftovers if _is_worth(one, least)), key=lambda one: -one.size[0] * one.size[1])
    identity = _identity(read, sheet)
    return {piece_name(identity, n): one for n, one in enumerate(kept, start=1)}


def rack_names(read: ReadJob, plan: SawPlan, store: Store | None) -> dict[int, dict[str, str]]:
    """By sheet and piece, what the leftovers that are worth keeping are called."""
    return {
        sheet.number: {one.piece: name for name, one in kept_of(read, sheet, store).items()} for sheet in plan.sheets
    }


def _sheet(read: ReadJob, sheet: SawSheet, store: Store | None) -> Data:
    stock = sheet.stock
    return {
        "number": sheet.number,
        "stock": stock.name,
        "size": list(stock.sheet),
        "material": stock.material,
        "grain": stock.grain,
        "thickness": {"nominal": stock.thickness, "thickest": stock.thickest, "thinnest": stock.thinnest},
        "measured": list(stock.measured),
        "sheet_id": _identity(read, sheet),
        "offcut": sheet.piece or None,
        "leaves": [
            {
                "name": name,
                "piece": one.piece,
                "at": [round(side, 4) for side in one.box[:2]],
                "size": [round(side, 4) for side in one.size],
            }
            for name, one in kept_of(read, sheet, store).items()
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
        **({"piece": sheet.piece} if sheet.piece else {}),
    }
    number = int.from_bytes(hashlib.sha256(json.dumps(told, sort_keys=True).encode()).digest(), "big")
    return "".join(LETTERS[number >> 5 * i & 31] for i in range(LONG))
