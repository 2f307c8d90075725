"""Finds the line of every key of a TOML text: the one thing that the standard library's parser does not tell.

A structural walk only: it knows headers, keys, strings, brackets and comments, and leaves values to tomllib.
It goes through any text once, without recursion; at the first thing that is not TOML it stops, for tomllib
names that mistake.
"""

import re
import tomllib
from collections.abc import Mapping
from contextlib import suppress

KeyPath = tuple[str | int, ...]

DEEPEST = 100  # levels of tables and arrays; a job needs about ten
_MOST_LINES = 500_000  # remembered places; bounds the memory that a hostile file can take

_BLANK = re.compile(r"[ \t]*")
_GAP = re.compile(r"(?:[ \t\r\n,]++|#[^\n]*+)*+")
_REST = re.compile(r"[ \t]*(?:#[^\n]*)?")
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_BASIC = re.compile(r'"(?:[^"\\\n]++|\\.)*+"')
_LITERAL = re.compile(r"'[^'\n]*'")
_MULTI_BASIC = re.compile(r'"""(?:[^"\\]++|\\.|"(?!""))*+"{3,5}', re.DOTALL)
_MULTI_LITERAL = re.compile(r"'''(?:[^']++|'(?!''))*+'{3,5}", re.DOTALL)
_SCALAR = re.compile(r"[^,\]}#\n\"'\[{=]+")


class TooDeepError(Exception):
    """Tables or arrays nested beyond `DEEPEST`; caught by the file reader."""

    def __init__(self, line: int) -> None:
        """Keep where."""
        self.line = line
        super().__init__(line)


class _NotTomlError(Exception):
    """The walk met something that tomllib will name."""


def lines_of(text: str) -> Mapping[KeyPath, int]:
    """Key path -> line, from 1. An array's element is left out where it stands on its array's own line.

    Raises TooDeepError. Of a text that is not TOML, the keys before the mistake.
    """
    walk = _Walk(text)
    with suppress(_NotTomlError):
        walk.document()
    return walk.lines


class _Walk:
    """One run through a text."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.line = 1
        self.lines: dict[KeyPath, int] = {}
        self._table: KeyPath = ()
        self._counts: dict[KeyPath, int] = {}

    def document(self) -> None:
        """Statement after statement to the end."""
        while self._skip(_GAP) or self.at < len(self.text):
            if self._take("[["):
                self._header("]]", is_array=True)
            elif self._take("["):
                self._header("]", is_array=False)
            elif self.at < len(self.text):
                self._value(self._assignment(self._table))
            self._skip(_REST)

    def _skip(self, pattern: re.Pattern[str]) -> bool:
        found = pattern.match(self.text, self.at)
        if not found or found.end() == self.at:
            return False
        self.line += self.text.count("\n", self.at, found.end())
        self.at = found.end()
        return True

    def _take(self, literal: str) -> bool:
        found = self.text.startswith(literal, self.at)
        self.at += len(literal) if found else 0
        return found

    def _need(self, literal: str) -> None:
        self._skip(_BLANK)
        if not self._take(literal):
            raise _NotTomlError

    def _mark(self, path: KeyPath) -> None:
        if len(path) > DEEPEST:
            raise TooDeepError(self.line)
        if len(self.lines) < _MOST_LINES:
            self.lines.setdefault(path, self.line)

    def _header(self, closing: str, *, is_array: bool) -> None:
        *parents, last = self._key()
        path: KeyPath = ()
        for part in parents:
            path = self._latest((*path, part))
            self._mark(path)
        path = (*path, last)
        if is_array:
            self._mark(path)
            self._counts[path] = self._counts.get(path, 0) + 1
        path = self._latest(path)
        self.lines[path] = self.line
        self._table = path
        self._need(closing)

    def _latest(self, path: KeyPath) -> KeyPath:
        count = self._counts.get(path)
        return (*path, count - 1) if count else path

    def _assignment(self, table: KeyPath) -> KeyPath:
        path = table
        for part in self._key():
            path = (*path, part)
            self._mark(path)
        self._need("=")
        return path

    def _key(self) -> list[str]:
        parts = [self._key_part()]
        while True:
            self._skip(_BLANK)
            if not self._take("."):
                return parts
            parts.append(self._key_part())
            if len(parts) > DEEPEST:
                raise TooDeepError(self.line)

    def _key_part(self) -> str:
        self._skip(_BLANK)
        begin = self.at
        for pattern in (_BARE, _BASIC, _LITERAL):
            if self._skip(pattern):
                return _plain_key(self.text[begin : self.at])
        raise _NotTomlError

    def _value(self, path: KeyPath) -> None:
        """One value with all that is in it; `open_ones` holds the brackets not closed yet."""
        open_ones: list[tuple[str, KeyPath, int]] = []
        self._begin(path, open_ones)
        while open_ones:
            self._skip(_GAP)
            closing, inside, index = open_ones.pop()
            if self._take(closing):
                continue
            open_ones.append((closing, inside, index + 1))
            if closing == "]":
                self._begin((*inside, index), open_ones)
            else:
                self._begin(self._assignment(inside), open_ones)

    def _begin(self, path: KeyPath, open_ones: list[tuple[str, KeyPath, int]]) -> None:
        self._skip(_BLANK)
        if not isinstance(path[-1], int) or self.line != self.lines.get(path[:-1]):
            self._mark(path)
        if len(path) + 1 > DEEPEST:
            raise TooDeepError(self.line)
        if self._take("["):
            open_ones.append(("]", path, 0))
        elif self._take("{"):
            open_ones.append(("}", path, 0))
        elif not any(map(self._skip, (_MULTI_BASIC, _MULTI_LITERAL, _BASIC, _LITERAL, _SCALAR))):
            raise _NotTomlError


def _plain_key(written: str) -> str:
    if written[0] not in "\"'":
        return written
    if written[0] == "'" or "\\" not in written:
        return written[1:-1]
    try:
        return str(tomllib.loads(f"key = {written}")["key"])
    except tomllib.TOMLDecodeError:
        raise _NotTomlError from None
