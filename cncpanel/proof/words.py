"""One line of a program as words: the grammar of NISTIR 6556 section 3.3 and appendix E."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from cncpanel.proof.expression import Unreadable, shown, value_at, whole

LONGEST = 256  # characters a line may have (section 3.3)
IN_FORCE = 5220  # the parameter that holds the number of the work system in force (table 2)
LETTERS = frozenset("abcdfghijklmpqrstxyz")
_PLAIN_WORD = re.compile(r"([abcdfghijklmpqrstxyz])([+-]?(?:\d+\.?\d*|\.\d+))", re.ASCII)
_PLAIN_LINE = re.compile(r"(?:[abcdfghijklmpqrstxyz][+-]?(?:\d+\.?\d*|\.\d+))*", re.ASCII)
_LINE_NUMBER = re.compile(r"n(\d*)", re.ASCII)
_PRINTABLE = re.compile(r"[ -~\t]*")
_WORD_BEGINS = re.compile(r"[abcdfghijklmpqrstxyz](?=[+\-.\d#\[])", re.ASCII)
_READ_ON = frozenset({"number", "arithmetic", "parameter-unknown", "parameter-number", "line-number"})


_NO_SPACES = str.maketrans("", "", " \t\r")


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong on a line: column from 1, the finding's kind, the sentence."""

    column: int
    kind: str
    text: str


@dataclass(slots=True)
class Block:
    """One line read. `g` holds codes times ten; `values` every other letter's number (lower case)."""

    line: int
    g: list[int] = field(default_factory=list)
    m: list[int] = field(default_factory=list)
    values: dict[str, float] = field(default_factory=dict)
    columns: dict[str, int] = field(default_factory=dict)
    settings: list[tuple[int, float]] = field(default_factory=list)
    comment: str = ""
    deletable: bool = False
    percent: bool = False
    faults: list[Fault] = field(default_factory=list)

    def fault(self, kind: str, text: str, letter: str = "") -> None:
        """Note a mistake, at the column of `letter` where that is known."""
        self.faults.append(Fault(self.columns.get(letter, 0), kind, text))

    @property
    def is_empty(self) -> bool:
        """Whether nothing on the line does anything."""
        return not (self.g or self.m or self.values or self.settings)


def read_block(text: str, line: int, parameters: Mapping[int, float]) -> Block:
    """The line's words; mistakes are in its `faults`, never raised."""
    block = Block(line)
    if len(text) > LONGEST:
        block.faults.append(Fault(LONGEST + 1, "line-length", f"{len(text)} characters (at most {LONGEST})"))
        return block
    if text.strip(" \t\r") == "%":
        block.percent = True
        return block
    _read_words(block, *_without_comments(text, block), parameters)
    return block


def _without_comments(text: str, block: Block) -> tuple[str, list[int]]:
    """Lower case without comments and spaces, and each remaining character's column."""
    if "(" not in text and ")" not in text:
        return _without_spaces(text.lower(), 0)
    kept, columns, at = "", list[int](), 0
    while (start := text.find("(", at)) >= 0:
        piece, places = _without_spaces(text[at:start].lower(), at)
        kept, columns = kept + piece, columns + places
        end, inner = text.find(")", start), text.find("(", start + 1)
        if end < 0:
            block.faults.append(Fault(start + 1, "comment", "a comment is not closed"))
            return kept, columns
        if 0 <= inner < end:
            block.faults.append(Fault(inner + 1, "comment", "a comment inside a comment"))
        block.comment = text[start + 1 : end]
        if not _PRINTABLE.fullmatch(block.comment):
            block.faults.append(Fault(start + 1, "character", "a character in a comment that cannot be printed"))
        at = end + 1
    piece, places = _without_spaces(text[at:].lower(), at)
    return kept + piece, columns + places


def _without_spaces(text: str, offset: int) -> tuple[str, list[int]]:
    columns = [offset + i + 1 for i, c in enumerate(text) if c not in " \t\r"]
    return text.translate(_NO_SPACES), columns


def _read_words(block: Block, text: str, columns: list[int], parameters: Mapping[int, float]) -> None:
    at = 0
    if text.startswith("/"):
        block.deletable, at = True, 1
    if found := _LINE_NUMBER.match(text, at):
        at = found.end()
        if not 1 <= len(found.group(1)) <= 5:
            column = columns[found.start()]
            block.faults.append(Fault(column, "line-number", "a line number has 1 to 5 digits"))
    columns.append(columns[-1] + 1 if columns else 1)
    if _PLAIN_LINE.fullmatch(text, at):
        for word in _PLAIN_WORD.finditer(text, at):
            _keep(block, word.group(1), float(word.group(2)), columns[word.start()])
        return
    while at < len(text):
        try:
            at = _read_one(block, text, at, columns, parameters)
        except Unreadable as wrong:
            column = columns[min(wrong.position, len(columns) - 1)]
            block.faults.append(Fault(column, wrong.kind, wrong.text))
            at = _next_word(text, at, wrong)


def _next_word(text: str, at: int, wrong: Unreadable) -> int:
    """Where the next word begins after one that cannot be read, so that one run tells them all; else the line's end.

    After a character that no word begins with the line is no program any more.
    """
    strange_letter = wrong.kind == "character" and text[wrong.position].isascii() and text[wrong.position].isalpha()
    if wrong.kind in _READ_ON or strange_letter:
        for begins in _WORD_BEGINS.finditer(text, max(wrong.position, at + 1)):
            if text.count("[", at, begins.start()) == text.count("]", at, begins.start()):
                return begins.start()
    return len(text)


def _read_one(block: Block, text: str, at: int, columns: list[int], parameters: Mapping[int, float]) -> int:
    """Take one word or parameter setting; where it ended."""
    letter = text[at]
    if letter == "#":
        return _read_setting(block, text, at, columns[at], parameters)
    if letter == "n":
        raise Unreadable(at, "line-number", "a line number must come first on its line")
    if letter not in LETTERS:
        raise Unreadable(at, "character", f"{shown(letter)} may not stand here")
    value, end = value_at(text, at + 1, parameters)
    _keep(block, letter, value, columns[at])
    return end


def _read_setting(block: Block, text: str, at: int, column: int, parameters: Mapping[int, float]) -> int:
    index_value, end = value_at(text, at + 1, parameters)
    index = whole(index_value)
    if index is None or not 1 <= index <= 5399:
        raise Unreadable(at, "parameter-number", f"parameter #{index_value:g} does not exist (1..5399)")
    if text[end : end + 1] != "=":
        raise Unreadable(end, "parameter-setting", "an equal sign is missing after a parameter")
    value, end = value_at(text, end + 1, parameters)
    if index == IN_FORCE and whole(value) not in range(1, 10):
        raise Unreadable(at, "parameter-value", f"#{IN_FORCE}={value:g}: the work systems are 1 to 9")
    block.settings.append((index, value))
    block.columns.setdefault(f"#{index}", column)
    return end


def _keep(block: Block, letter: str, value: float, column: int) -> None:
    """File a word; several G and M words are allowed, any other letter once."""
    if letter == "g":
        _keep_code(block.g, block, value * 10, column, "G", 0.001)
    elif letter == "m":
        _keep_code(block.m, block, value, column, "M", 0.0001)
    elif letter in block.values:
        block.faults.append(Fault(column, "repeated-word", f"more than one {letter.upper()} word"))
    else:
        block.values[letter] = value
        block.columns[letter] = column


def _keep_code(codes: list[int], block: Block, value: float, column: int, letter: str, slack: float) -> None:
    code = round(value)
    if value < -slack:
        block.faults.append(Fault(column, "negative-code", f"a negative {letter} code"))
    elif abs(value - code) > slack:
        block.faults.append(Fault(column, "unknown-code", f"an unknown {letter} code"))
    else:
        codes.append(code)
        block.columns[f"{letter.lower()}{code}"] = column
