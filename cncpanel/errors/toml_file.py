"""A TOML file that has been read: its data and where everything in it stands."""

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cncpanel.errors.lines import KeyPath
from cncpanel.errors.problem import Place

_BARE = re.compile(r"[A-Za-z0-9_-]+\Z")


@dataclass(frozen=True, slots=True, kw_only=True)
class TomlFile:
    """A TOML file's data and the line of every key in it; `sha256` is of its bytes as they were read."""

    path: Path
    shown: str
    data: dict[str, Any]
    lines: Mapping[KeyPath, int]
    sha256: str = ""

    def place(self, key_path: KeyPath = ()) -> Place:
        """Where `key_path` stands; the line is its nearest known parent's where it is not in the file."""
        known = next((n for n in range(len(key_path), 0, -1) if key_path[:n] in self.lines), 0)
        return Place(self.shown, self.lines[key_path[:known]] if known else 0, key_text(key_path))

    def value(self, key_path: KeyPath) -> Any:
        """What the file says at `key_path`; None where it says nothing."""
        here: Any = self.data
        for part in key_path:
            here = child(here, part)
        return None if here is ABSENT else here


ABSENT = object()


def child(here: Any, part: str | int) -> Any:
    """What stands under a key of a table or at an index of a list; ABSENT where nothing does."""
    if isinstance(here, dict) and isinstance(part, str):
        return here.get(part, ABSENT)
    if isinstance(here, list) and isinstance(part, int) and 0 <= part < len(here):
        return here[part]
    return ABSENT


def key_text(key_path: KeyPath) -> str:
    """A key path as it is told to people: `panel[0].outline[3]`."""
    text = ""
    for part in key_path:
        if isinstance(part, int):
            text += f"[{part}]"
        else:
            shown = part if _BARE.match(part) else json.dumps(part, ensure_ascii=False)
            text += f".{shown}" if text else shown
    return text
