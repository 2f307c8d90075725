"""Words of the language that one machine's control does not read."""

from collections.abc import Iterator

from cncpanel.proof.modal import g_name
from cncpanel.proof.words import Block

_MARKS = "#[/"


def missing_words(block: Block, text: str, lacks: frozenset[str]) -> Iterator[tuple[int, str]]:
    """Column (0: not known) and name of every word on the line that is among `lacks`."""
    if not lacks:
        return
    for code in block.g:
        if g_name(code) in lacks:
            yield block.columns.get(f"g{code}", 0), g_name(code)
    for code in block.m:
        if f"M{code}" in lacks:
            yield block.columns.get(f"m{code}", 0), f"M{code}"
    for letter in block.values:
        if letter.upper() in lacks:
            yield block.columns.get(letter, 0), letter.upper()
    if "N" in lacks and text.lstrip(" \t/")[:1] in ("n", "N"):
        yield 1, "N"
    for mark in _MARKS:
        if mark in lacks and (at := text.split("(", 1)[0].find(mark)) >= 0:
            yield at + 1, mark
