"""Survivors that do no harm, each with its reason, in explained.toml: they count as neither killed nor survived."""

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from mutant import Mutant, mutants

LIST = Path(__file__).with_name("explained.toml")


@dataclass(frozen=True, slots=True, kw_only=True)
class Explained:
    """A mutant by its file, its function and its text ("before => after"), and why it is let live."""

    file: str
    where: str
    text: str
    reason: str


def explained() -> tuple[Explained, ...]:
    """The committed list."""
    return tuple(Explained(**one) for one in tomllib.loads(LIST.read_text("utf-8")).get("mutant", ()))


def reason(mutant: Mutant, all_of_them: Iterable[Explained]) -> str | None:
    """Why a mutant is let live; None where the list does not name it."""
    named = (one for one in all_of_them if (one.file, one.where, one.text) == (mutant.file, mutant.where, mutant.text))
    return next((one.reason for one in named), None)


def stale(root: Path, all_of_them: Iterable[Explained]) -> list[Explained]:
    """Those whose mutant is no longer there: the code has changed, or the text is misspelt."""
    of_file = {one.file: [] if not (root / one.file).exists() else mutants(root, one.file) for one in all_of_them}
    there = {(one.file, one.where, one.text) for found in of_file.values() for one in found}
    return [one for one in all_of_them if (one.file, one.where, one.text) not in there]
