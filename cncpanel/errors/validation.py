"""Turns pydantic's findings into our own sentences, one a key."""

import re
from collections.abc import Iterable
from difflib import get_close_matches
from typing import Any, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from cncpanel.errors.lines import KeyPath
from cncpanel.errors.problem import Problem
from cncpanel.errors.toml_file import ABSENT, TomlFile, child

ALREADY_TOLD = "already_told"  # the custom error type of a value whose mistake is told elsewhere
_LONGEST = 40  # characters of the user's own text in a message

_LIMITS = {
    "greater_than": ("too small", "gt", "more than {}"),
    "greater_than_equal": ("too small", "ge", "at least {}"),
    "less_than": ("too large", "lt", "less than {}"),
    "less_than_equal": ("too large", "le", "at most {}"),
}
_NEEDED = {
    "string": "a text",
    "int": "a whole number",
    "float": "a number",
    "bool": "true or false",
    "tuple": "a list",
    "list": "a list",
    "model": "a table",
    "dict": "a table",
}
_KINDS = (
    (bool, "true or false"),
    (int | float, "a number"),
    (str, "a text"),
    (list, "a list"),
    (dict, "a table"),
)


def problems_from_validation(
    error: ValidationError, file: TomlFile, model: type[BaseModel] | None = None
) -> list[Problem]:
    """The mistakes that pydantic found in `file`, sorted, one a key.

    With `model`, an unknown key comes with the nearest known one.
    """
    told: dict[tuple[KeyPath, str], Problem] = {}
    for details in _best_branches(error.errors(), file.data):
        path, _ = _walk(details, file.data)
        if details["type"] != ALREADY_TOLD and not _is_echo(details, file.value(path)):
            text, allowed = _sentence(path, details, file, model)
            told[path, text] = Problem(file.place(path), text, allowed)
    return sorted(told.values())


def _is_echo(details: ErrorDetails, written: Any) -> bool:
    """Whether it only says again that entries of a list are wrong: pydantic counts the good ones."""
    return details["type"] == "too_short" and isinstance(written, list) and len(written) >= details["ctx"]["min_length"]


def _best_branches(errors: Iterable[ErrorDetails], data: Any) -> list[ErrorDetails]:
    """Of each union only the branch that fits the input best: failed deepest, then with fewest errors."""
    forks: dict[KeyPath, dict[Any, list[ErrorDetails]]] = {}
    chosen: list[ErrorDetails] = []
    for details in errors:
        loc = details["loc"]
        _, fork = _walk(details, data)
        if fork is None:
            chosen.append(details)
        else:
            forks.setdefault(loc[:fork], {}).setdefault(loc[fork], []).append(details)
    for branches in forks.values():
        best: list[ErrorDetails] = max(branches.values(), key=_fit)
        chosen += best
    return chosen


def _fit(found: list[ErrorDetails]) -> tuple[int, int]:
    return max(len(details["loc"]) for details in found), -len(found)


def _walk(details: ErrorDetails, data: Any) -> tuple[KeyPath, int | None]:
    """The key path in the file, and where in the loc the first name of a union's branch stands."""
    path: KeyPath = ()
    fork = None
    here = data
    loc: KeyPath = details["loc"]
    for index, part in enumerate(loc):
        following = child(here, part)
        if following is not ABSENT:
            path, here = (*path, part), following
        elif details["type"] == "missing" and index == len(loc) - 1:
            path = (*path, part) if isinstance(part, str) else path
        elif fork is None:
            fork = index
    return path, fork


def _sentence(path: KeyPath, details: ErrorDetails, file: TomlFile, model: type[BaseModel] | None) -> tuple[str, str]:
    """What is wrong, and what is allowed."""
    kind, context = details["type"], details.get("ctx", {})
    written = file.value(path)
    if kind == "missing":
        last = details["loc"][-1]
        return (_values(written), f"{last + 1} are needed") if isinstance(last, int) else ("missing", "")
    if kind == "extra_forbidden":
        return "unknown key", _suggestion(path, model)
    if kind in _LIMITS:
        what, limit, allowed = _LIMITS[kind]
        return f"{_with_source(written, details['input'])} is {what}", allowed.format(_number(context[limit]))
    if kind == "literal_error":
        return f"{quoted(written)} is not known", ", ".join(re.findall(r"'([^']*)'", context["expected"]))
    if kind in ("value_error", "assertion_error"):
        return split_allowed(str(context["error"]))
    if kind.startswith(("too_", "string_too_")):
        return _amount(kind, context, written)
    return _other(kind, details, written)


def _other(kind: str, details: ErrorDetails, written: Any) -> tuple[str, str]:
    if kind == "string_pattern_mismatch":
        return f"{quoted(written)} has a character that is not allowed here", _characters(details["ctx"]["pattern"])
    if kind == "finite_number":
        return "not a finite number", ""
    if kind == "int_from_float":
        return f"{quoted(written)} is not a whole number", ""
    needed = _NEEDED.get(kind.split("_")[0])
    if needed and kind.endswith(("_type", "_parsing", "_parsing_size")):
        got = quoted(written) if kind.endswith("_parsing") else kind_of(written)
        hint = "its tables have two brackets, [[ ]]" if (needed, got) == ("a list", "a table") else ""
        return f"{needed} is needed, not {got}", hint
    return split_allowed(details["msg"][:1].lower() + details["msg"][1:])


def _amount(kind: str, context: dict[str, Any], written: Any) -> tuple[str, str]:
    if kind.startswith("string_") or isinstance(written, str):
        number = len(written) if isinstance(written, str) else 0
        text = f"has {number} character{'' if number == 1 else 's'}"
    else:
        text = _values(written)
    least = context.get("min_length")
    return text, f"at least {least}" if least is not None else f"at most {context['max_length']}"


def _values(written: Any) -> str:
    number = len(written) if isinstance(written, list) else 0
    return f"has {number} value{'' if number == 1 else 's'}"


def _characters(pattern: str) -> str:
    if pattern.startswith("^[A-Za-z0-9 _."):
        return "letters A-Z a-z, digits, space, point, - _ ^ and +"
    return pattern


def _with_source(written: Any, value: Any) -> str:
    """The number, after the words it came from."""
    if isinstance(written, str) and isinstance(value, int | float):
        return f"{quoted(written)} = {_number(value)}"
    return _number(value) if isinstance(value, int | float) else quoted(written)


def _number(value: Any) -> str:
    try:
        return f"{float(value):.6g}"
    except (TypeError, ValueError, OverflowError):
        return str(value)[:_LONGEST]


def quoted(written: Any) -> str:
    """The user's own value for a message, in quotes where it is text, cut where it is long."""
    if isinstance(written, bool):
        return str(written).lower()
    if isinstance(written, int | float):
        return _number(written)
    if not isinstance(written, str):
        return kind_of(written)
    text = "".join(c if c.isprintable() else " " for c in written)
    return f'"{text if len(text) <= _LONGEST else text[: _LONGEST - 3] + "..."}"'


def kind_of(written: Any) -> str:
    """What kind of TOML value it is, in words."""
    return next((name for kind, name in _KINDS if isinstance(written, kind)), "a date or time")


def split_allowed(text: str) -> tuple[str, str]:
    """`wrong (allowed)` as its two parts."""
    if text.endswith(")") and " (" in text:
        wrong, _, allowed = text[:-1].rpartition(" (")
        return wrong, allowed
    return text, ""


def nearest(word: str, known: Iterable[str]) -> str:
    """`did you mean "depth"?`, else the known ones, else nothing."""
    names = list(known)
    close = get_close_matches(word, names, n=1)
    if close:
        return f'did you mean "{close[0]}"?'
    return ", ".join(names) if len(names) <= 20 else ""


def _suggestion(path: KeyPath, model: type[BaseModel] | None) -> str:
    if model is None:
        return ""
    models = _models_at({model}, path[:-1])
    return nearest(str(path[-1]), dict.fromkeys(name for found in models for name in found.model_fields))


def _models_at(start: set[type[BaseModel]], path: KeyPath) -> list[type[BaseModel]]:
    """The models that may stand at `path` under `start`."""
    kinds: list[Any] = list(start)
    for part in path:
        kinds = [inner for kind in kinds for step in _steps(kind, part) for inner in _unwrapped(step)]
    return [kind for kind in kinds if _is_model(kind)]


def _steps(kind: Any, part: str | int) -> list[Any]:
    """The annotations that may stand at `part` inside a value of `kind`."""
    if isinstance(part, int):
        return list(get_args(kind)) if get_origin(kind) in (tuple, list) else []
    return [kind.model_fields[part].annotation] if _is_model(kind) and part in kind.model_fields else []


def _is_model(kind: Any) -> bool:
    return isinstance(kind, type) and issubclass(kind, BaseModel)


def _unwrapped(annotation: Any) -> list[Any]:
    """The alternatives of a union, annotations taken off."""
    if hasattr(annotation, "__metadata__"):
        return _unwrapped(annotation.__origin__)
    if get_origin(annotation) in (tuple, list) or not get_args(annotation):
        return [annotation]
    return [kind for inner in get_args(annotation) for kind in _unwrapped(inner)]
