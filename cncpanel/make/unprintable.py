"""Letters of a job that no font on paper has: told where the author wrote them."""

from collections.abc import Iterator
from typing import Any

from cncpanel.errors import Gathering
from cncpanel.errors.toml import TomlFile
from cncpanel.output.pdf_text import strange

Keys = tuple[str | int, ...]


def tell_unprintable(file: TomlFile, gathering: Gathering) -> None:
    """Warn of every text that has letters which stand as '?' on paper."""
    for keys, text in _texts((), file.data):
        found = strange(text)
        if found:
            letters = " ".join(f"{letter} (U+{ord(letter):04X})" for letter in found)
            told = f"no font here has {letters}: on paper there stands ?"
            gathering.warn(file.place(keys), told, "other words, if somebody must read it there")


def _texts(keys: Keys, value: Any) -> Iterator[tuple[Keys, str]]:
    if isinstance(value, str):
        yield keys, value
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield from _texts((*keys, key), inner)
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from _texts((*keys, index), inner)
