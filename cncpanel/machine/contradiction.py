"""A machine file's value that another value denies: which key, what is wrong, what is allowed."""

from collections.abc import Iterable
from dataclasses import dataclass

from pydantic import ValidationError
from pydantic_core import PydanticCustomError

from cncpanel.errors.validation import ALREADY_TOLD


@dataclass(frozen=True, slots=True)
class Contradiction:
    """One mistake; `key` is counted from the section that was being checked."""

    key: tuple[str | int, ...]
    text: str
    allowed: str = ""


def refuse(found: Iterable[Contradiction]) -> None:
    """Raise one validation error that carries every contradiction; nothing when there is none."""
    gathered = tuple(found)
    if not gathered:
        return
    text = "; ".join(f"{'.'.join(map(str, one.key))}: {one.text}" for one in gathered)
    raise PydanticCustomError(ALREADY_TOLD, "{text}", {"text": text, "found": gathered})


def contradictions(error: ValidationError) -> tuple[Contradiction, ...]:
    """Those that a validation gathered, their keys counted from the top of the file."""
    return tuple(
        Contradiction((*one["loc"], *each.key), each.text, each.allowed)
        for one in error.errors(include_url=False)
        if one["type"] == ALREADY_TOLD
        for each in one["ctx"]["found"]
    )
