"""Whether a program keeps to what the machine's control reads: words that only its text shows."""

import re
from collections.abc import Iterator, Sequence

from cncpanel.machine.model import Dialect
from cncpanel.proof.finding import Finding
from cncpanel.proof.reader import lines_of
from cncpanel.proof.words import LONGEST

_COMMENT = re.compile(r"\([^)]*\)?")
_PATH = re.compile(r"G0*(61\.1|61|64)(?![\d.])(?:P(\d+\.?\d*|\.\d+))?")
_MOVES = re.compile(r"[XYZ][-+\d.\[#]")
_BY_HOME = re.compile(r"G0*53(?![\d.])")
_UNIT = re.compile(r"G0*(2[01])(?![\d.])")


def speech_findings(text: str, dialect: Dialect) -> Iterator[Finding]:
    """Lines too long, another unit or path mode than the machine's, percent lines missing or not known."""
    lines = lines_of(text)
    for number, line in enumerate(lines, 1):
        if len(line) > dialect.line_max:
            yield _error(
                "line-max",
                number,
                f"{len(line)} characters",
                measure=float(len(line)),
                limit=float(dialect.line_max),
            )
        if len(line) <= LONGEST and "g" in line.lower():
            yield from _codes(number, _COMMENT.sub("", line).upper().replace(" ", ""), dialect)
    yield from _path_unsaid(lines, dialect)
    has_percent = any(line.strip() == "%" for line in lines)
    if has_percent != dialect.percent_lines:
        yield _error(
            "percent",
            0,
            "percent lines, which this control does not know" if has_percent else "no percent lines",
        )


def _path_unsaid(lines: Sequence[str], dialect: Dialect) -> Iterator[Finding]:
    """A first way over the sheet in whatever mode the last program left: a control that blends rounds every corner."""
    if not dialect.path_words:
        return
    for number, line in enumerate(lines, 1):
        words = _COMMENT.sub("", line[: LONGEST + 1]).upper().replace(" ", "")
        if _PATH.search(words):
            return
        if _MOVES.search(words) and not _BY_HOME.search(words):
            text = f"motion before {dialect.path_words} was stated: the last program's path mode would rule"
            yield _error("path-words", number, text)
            return


def _codes(number: int, words: str, dialect: Dialect) -> Iterator[Finding]:
    wanted_unit = "20" if dialect.unit == "inch" else "21"
    for found in _UNIT.finditer(words):
        if found[1] != wanted_unit:
            yield _error("unit", number, f"G{found[1]}: this machine's programs are in {dialect.unit}")
    for found in _PATH.finditer(words):
        if not _same_path(found[1], found[2], dialect):
            said = dialect.path_words or "no path words"
            yield _error("path-words", number, f"{found[0]}: the machine file says {said}")


def _same_path(code: str, tolerance: str | None, dialect: Dialect) -> bool:
    """The machine file has the words as the control reads them, in the programs' own unit."""
    match = re.fullmatch(r"G(61\.1|61|64)(?: P([\d.]+))?", dialect.path_words)
    if not match or match[1] != code or (match[2] is None) != (tolerance is None):
        return False
    if match[2] is None or tolerance is None:
        return True
    return float(tolerance) == float(match[2])


def _error(kind: str, line: int, text: str, *, measure: float | None = None, limit: float | None = None) -> Finding:
    return Finding(kind=kind, severity="error", text=text, line=line, measure=measure, limit=limit)
