"""What a sheet is called in the store of offcuts: equal for equal sheets of equal sets, short enough for a label."""

import hashlib
import json
from collections.abc import Sequence
from dataclasses import asdict

from cncpanel.job.read import ReadJob
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine

LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # no I, L, O, U: read from a dusty label and typed without a slip
LONG, SHORT = 12, 5  # letters: of an identity, and of the names on labels


def sheet_id(read: ReadJob, machine: Machine, sheet: Sheet) -> str:
    """From the job file, the machine, the sheet's stock and its parts' places."""
    fixed = tuple(keep for keep in sheet.stock.keep_out if keep.hole is None)  # driven screws follow from the rest
    stock = sheet.stock.model_copy(update={"keep_out": fixed})
    told = {
        "job": read.file.sha256,
        "machine": machine.name,
        "sheet": sheet.number,
        "piece": sheet.piece,
        "stock": stock.model_dump(mode="json"),
        "parts": [asdict(part) for part in sheet.parts],
    }
    number = int.from_bytes(hashlib.sha256(json.dumps(told, sort_keys=True).encode()).digest(), "big")
    return "".join(LETTERS[number >> 5 * i & 31] for i in range(LONG))


def identities(read: ReadJob, machine: Machine, sheets: Sequence[Sheet]) -> dict[int, str]:
    """Of all the sheets, by number."""
    return {sheet.number: sheet_id(read, machine, sheet) for sheet in sheets}


def piece_name(identity: str, number: int) -> str:
    """Of the sheet's first, second ... piece: `K7Q2M-1`."""
    return f"{identity[:SHORT]}-{number}"
