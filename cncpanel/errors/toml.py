"""Reads a TOML file so that every later mistake in it can be told with its line."""

import hashlib
import re
import tomllib
from pathlib import Path

from cncpanel.errors.lines import DEEPEST, TooDeepError, lines_of
from cncpanel.errors.problem import Place, Problem, ProblemsFound
from cncpanel.errors.toml_file import TomlFile
from cncpanel.errors.validation import problems_from_validation

__all__ = ["LARGEST", "TomlFile", "problems_from_validation", "read_toml"]

LARGEST = 8_000_000  # bytes; a job of two thousand panels is well under one million
_POSITION = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)\Z")
_TOO_LONG_NUMBER = re.compile(r"[0-9_]{4000,}")


def read_toml(path: Path) -> TomlFile:
    """Read `path`; raises ProblemsFound where it is missing, too large, not UTF-8 or not TOML."""
    shown = path.name or str(path)
    raw = _bytes(path, shown)
    text = _text(raw, shown)
    try:
        lines = lines_of(text)
        data = tomllib.loads(text)
    except TooDeepError as error:
        raise _stop(shown, error.line, f"tables or lists nested more than {DEEPEST} deep") from None
    except RecursionError:
        raise _stop(shown, 0, f"tables or lists nested more than {DEEPEST} deep") from None
    except tomllib.TOMLDecodeError as error:
        raise _not_toml(shown, text, str(error)) from None
    except ValueError:  # the one that tomllib lets through: Python's own limit on digits
        found = _TOO_LONG_NUMBER.search(text)
        line = text.count("\n", 0, found.start()) + 1 if found else 0
        raise _stop(shown, line, "a number with thousands of digits") from None
    return TomlFile(path=path, shown=shown, data=data, lines=lines, sha256=hashlib.sha256(raw).hexdigest())


def _bytes(path: Path, shown: str) -> bytes:
    try:
        if path.is_dir():
            raise _stop(shown, 0, "a folder, not a file")
        with path.open("rb") as stream:
            raw = stream.read(LARGEST + 1)
    except FileNotFoundError:
        raise _stop(shown, 0, "no such file") from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise _stop(shown, 0, f"cannot be read: {reason}") from None
    if len(raw) > LARGEST:
        raise _stop(shown, 0, "larger than 8 MB", "a job file is text of a few hundred kB at most")
    return raw


def _text(raw: bytes, shown: str) -> str:
    if b"\0" in raw[:4]:  # TOML has no such byte; every other one of UTF-16 with letters as in English is
        raise _stop(shown, 1, "not UTF-8 text: two bytes a letter, as UTF-16 has", "save it as UTF-8")
    try:
        return raw.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise _stop(shown, line, f"not UTF-8 text: byte {raw[error.start]:#04x}", "save it as UTF-8") from None


def _not_toml(shown: str, text: str, message: str) -> ProblemsFound:
    position = _POSITION.search(message)
    said = message[: position.start()] if position else message
    said = said[:1].lower() + said[1:]
    if position and position[1]:
        return _stop(shown, int(position[1]), f"not TOML: {said}, at column {position[2]}")
    return _stop(shown, text.count("\n") + 1, f"not TOML: {said}, at the end of the file")


def _stop(shown: str, line: int, text: str, allowed: str = "") -> ProblemsFound:
    return ProblemsFound([Problem(Place(shown, line), text, allowed)])
