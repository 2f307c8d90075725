"""A map of depths as a PNG: light where nothing was cut, dark where it was cut deep, black right through."""

import struct
import zlib

import numpy as np
import numpy.typing as npt

LIGHT, DARK = 235, 70  # greys of the untouched face and of a cut that all but goes through
THROUGH = 1e-3  # mm; a cut this near to the underside went through


def map_png(depth: npt.NDArray[np.floating], cell: float, thickness: float) -> bytes:
    """The picture, one pixel a cell of `cell` mm, Y upward; `thickness` is the depth of black."""
    share = np.clip(depth / thickness, 0.0, 1.0)
    grey = np.where(depth >= thickness - THROUGH, 0.0, LIGHT - (LIGHT - DARK) * share)
    return _grey_png(np.rint(grey[::-1]).astype(np.uint8), round(1000 / cell))


def _grey_png(pixels: npt.NDArray[np.uint8], per_metre: int) -> bytes:
    """Eight bits of grey a pixel, unfiltered (ISO/IEC 15948)."""
    rows, columns = pixels.shape
    lines = np.hstack([np.zeros((rows, 1), dtype=np.uint8), pixels]).tobytes()
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        (
            _chunk(b"IHDR", struct.pack(">IIBBBBB", columns, rows, 8, 0, 0, 0, 0)),
            _chunk(b"pHYs", struct.pack(">IIB", per_metre, per_metre, 1)),
            _chunk(b"IDAT", zlib.compress(lines)),
            _chunk(b"IEND", b""),
        )
    )


def _chunk(name: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
