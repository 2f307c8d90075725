"""A file's tables as they stand, for checks that look at the data and not at the models."""

from collections.abc import Iterator
from typing import Any

from cncpanel.job.values import Values


def tables(table: dict[str, Any], key: str) -> Iterator[tuple[int, dict[str, Any]]]:
    """The tables of the array of tables `key`, with their index; what is no table is passed over."""
    found = table.get(key)
    for index, entry in enumerate(found if isinstance(found, list) else ()):
        if isinstance(entry, dict):
            yield index, entry


def millimetres(written: object, values: Values) -> float | None:
    """A length that may be wrong; None where it is (its mistake is told with its key)."""
    try:
        found = values.length(written)
    except ValueError:
        return None
    return found if isinstance(found, float) else None
