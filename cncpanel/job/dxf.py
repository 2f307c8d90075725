"""Contours read from a DXF file: the only place where ezdxf reads.

The file is opened with care, walked block by block (dxf_walk.py), and its strokes made into shapes
(dxf_contours.py). Whatever cannot be used is named in the drawing's own coordinates; nothing is guessed.
"""

import logging
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from ezdxf.filemanagement import readfile
from ezdxf.lldxf.const import DXFVersionError

from cncpanel.errors import Gathering, Place
from cncpanel.geometry.contour import joined_bounds
from cncpanel.job.dxf_contours import shapes_of
from cncpanel.job.dxf_nest import DxfShape
from cncpanel.job.dxf_notes import Notes
from cncpanel.job.dxf_unit import drawing_unit, judge_unit
from cncpanel.job.dxf_unusable import UnusableError
from cncpanel.job.dxf_walk import DAMAGED, MOST_ENTITIES, Drawing, sentence

MOST_BYTES = 64 * 2**20  # of a file; outlines of one panel are a thousandth of it
MOST_REMARKS = 5  # of the parser that are passed on
ENTITY_MARK = re.compile(rb"(?:\A|\n)[ \t]*0[ \t]*\r?\n")  # the group code that begins an entity


def read_dxf(
    path: Path, *, layer: str | None, unit: str | None, tolerance: float, place: Place, gathering: Gathering
) -> tuple[DxfShape, ...] | None:
    """The shapes drawn in the file, or on one of its layers, in mm; None where it must be refused.

    `unit` is the job's word for the drawing's unit (a key of dxf_unit.JOB_UNITS), None to believe the header.
    Gaps up to `tolerance` (mm) are closed. Problems and warnings go to the gathering, at `place`.
    """
    notes = Notes(path.name, place, gathering)
    try:
        content = _content(path)
        document = _document(path, notes)
    except UnusableError as error:
        notes.problem(str(error), error.allowed)
        return None
    header = document.header.get("$INSUNITS", 0) if b"$INSUNITS" in content else 0
    chosen = drawing_unit(header, unit, notes)
    notes.scale = chosen.scale
    drawn = Drawing(document, layer, notes)
    strokes = drawn.strokes(chosen.scale)
    if strokes:
        xmin, ymin, xmax, ymax = joined_bounds(s.bounds for s in strokes)
        judge_unit(chosen, (xmax - xmin) / chosen.scale, (ymax - ymin) / chosen.scale, notes)
    shapes = shapes_of(strokes, drawn.without_length, tolerance, notes) if not notes.problems else ()
    return shapes if notes.close() else None


def _content(path: Path) -> bytes:
    """The file's bytes after the checks that need no parser; raises UnusableError."""
    try:
        if not path.exists():
            raise UnusableError("there is no such file", f"looked for {path}")
        if not path.is_file():
            raise UnusableError("is not a file")
        if path.stat().st_size > MOST_BYTES:
            raise UnusableError(f"is larger than {MOST_BYTES >> 20} MB", "save only the outlines")
        content = path.read_bytes()
    except OSError as error:
        raise UnusableError(f"cannot be read: {error.strerror or error}") from error
    _check(content)
    return content


def _check(content: bytes) -> None:
    if not content.strip():
        raise UnusableError("is empty")
    if content.startswith(b"AC10"):
        raise UnusableError("is a DWG file, not a DXF file", "save it as DXF, version R2000 or later")
    if b"SECTION" not in content or (b"\0" in content[:1024] and b"DXF" not in content[:22]):
        raise UnusableError("is not a DXF file")
    if b"EOF" not in content[-256:]:
        raise UnusableError("ends before its end mark: the file is cut short", "save or copy it again")
    if len(ENTITY_MARK.findall(content)) > 3 * MOST_ENTITIES:
        raise UnusableError(f"holds more than {MOST_ENTITIES} entities", "save only the outlines")


def _document(path: Path, notes: Notes) -> Any:
    """The parsed file, with nothing mended: a mended number is a guess. Raises UnusableError for damage."""
    with _overheard() as remarks:
        try:
            document = readfile(path)
            document.modelspace()
        except DXFVersionError as error:
            raise UnusableError(f"cannot be read: {error}", "save it as DXF, version R12 or later") from error
        except (OSError, *DAMAGED) as error:
            raise UnusableError(f"is damaged: {sentence(error)}", "save it again as DXF") from error
    for remark in remarks[:MOST_REMARKS]:
        notes.warn(f"is damaged beside the drawing: {remark}")
    return document


class _Listener(logging.Handler):
    """Puts log messages into a list."""

    def __init__(self, remarks: list[str]) -> None:
        super().__init__(logging.WARNING)
        self.remarks = remarks

    def emit(self, record: logging.LogRecord) -> None:
        """Keep the message."""
        self.remarks.append(sentence(record.getMessage()))


@contextmanager
def _overheard() -> Iterator[list[str]]:
    """What ezdxf would have logged of things that it leaves out while reading."""
    remarks: list[str] = []
    logger, handler = logging.getLogger("ezdxf"), _Listener(remarks)
    before = logger.propagate
    logger.addHandler(handler)
    logger.propagate = False
    try:
        yield remarks
    finally:
        logger.removeHandler(handler)
        logger.propagate = before


__all__ = ["DxfShape", "read_dxf"]
