"""Columns of numbers as text that a browser unpacks by itself: deflated bytes in base64, little end first."""

from base64 import b64encode
from zlib import compress

import numpy as np
import numpy.typing as npt

MICRONS = 1000  # places are told in whole thousandths of a mm
_NAMES = {"u1": "u8", "u2": "u16", "i2": "i16", "i4": "i32", "f4": "f32"}
Packed = dict[str, str | bool]


def packed(values: npt.ArrayLike, kind: str, *, running: bool = False) -> Packed:
    """The column as `kind` (u1, u2, i2, i4 or f4); `running` stores differences, which are small."""
    column = np.asarray(values)
    if kind != "f4":
        column = np.rint(column).astype(np.int64)
    if running:
        column = np.diff(column.reshape(-1), prepend=0)
    return {"kind": _NAMES[kind], "running": running, "data": deflated(column.astype("<" + kind).tobytes())}


def microns(values: npt.ArrayLike) -> Packed:
    """A column of mm."""
    return packed(np.asarray(values, dtype=np.float64) * MICRONS, "i4", running=True)


def deflated(data: bytes) -> str:
    """The bytes in the zlib format, in base64."""
    return b64encode(compress(data, 6)).decode("ascii")
