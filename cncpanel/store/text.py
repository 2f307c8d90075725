"""The store as TOML: a person may read it and mend it by hand, and a mistake in it is told with its line."""

import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError

from cncpanel.errors import Problem, ProblemsFound
from cncpanel.errors.toml import problems_from_validation, read_toml
from cncpanel.errors.toml_file import TomlFile
from cncpanel.errors.validation import quoted
from cncpanel.store.offcut import Store
from cncpanel.units import length

HEAD = """\
# The shop's offcuts: pieces of sheet that later jobs may be cut from. cncpanel keeps this file; to change it by hand,
# wait until no run is going on. Lengths in mm, or written as "24 in". `cncpanel offcuts --help` tells the rest.
"""


def store_text(store: Store) -> str:
    """The file's text; only what is not a default is written."""
    lines = [HEAD]
    lines += _pairs({"least": list(store.least)})
    for piece in store.offcut:
        data = _given(piece)
        claim = data.pop("claim", None)
        lines += ["", "[[offcut]]", *_pairs(data)]
        if claim:
            lines += ["[offcut.claim]", *_pairs(claim)]
    for cut in store.cut:
        lines += ["", "[[cut]]", *_pairs(_given(cut))]
    return "\n".join(lines) + "\n"


def _given(table: BaseModel) -> dict[str, Any]:
    return dict(table.model_dump(mode="json", exclude_defaults=True))


def _pairs(data: Mapping[str, Any]) -> Iterator[str]:
    return (f"{key} = {_value(value)}" for key, value in data.items())


def _value(value: Any) -> str:
    """A JSON text is a TOML basic string, but for the delete character, which no name may hold."""
    if isinstance(value, list):
        return f"[{', '.join(map(_value, value))}]"
    if isinstance(value, float):
        return repr(int(value)) if value.is_integer() else repr(value)
    return json.dumps(value, ensure_ascii=False)


def read_store(path: Path) -> Store:
    """The store in the file; raises ProblemsFound with every mistake and its line."""
    file = read_toml(path)
    try:
        store = Store.model_validate(file.data, context={"length": _length})
    except ValidationError as error:
        raise ProblemsFound([*problems_from_validation(error, file, Store), *_named_twice(file)]) from None
    twice = list(_named_twice(file))
    if twice:
        raise ProblemsFound(twice)
    return store


def _length(value: object) -> object:
    return length(value, "mm") if isinstance(value, str) else value


def _named_twice(file: TomlFile) -> Iterator[Problem]:
    """Asked of the file as it is written: whatever else is wrong with it."""
    pieces = file.data.get("offcut")
    seen: dict[str, int] = {}
    for index, piece in enumerate(pieces if isinstance(pieces, list) else ()):
        name = piece.get("name") if isinstance(piece, dict) else None
        if not isinstance(name, str):
            continue
        place = file.place(("offcut", index, "name"))
        if name in seen:
            text = f"{quoted(name)} is the name of another piece (line {seen[name]})"
            yield Problem(place, text, "a name of its own")
        seen.setdefault(name, place.line)
