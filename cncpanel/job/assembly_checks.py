"""Mistakes in the assembly that no single key shows: panels that do not exist, or are joined to themselves."""

from collections.abc import Iterator
from typing import Any

from cncpanel.errors import Gathering
from cncpanel.errors.lines import KeyPath
from cncpanel.errors.toml import TomlFile
from cncpanel.errors.validation import nearest, quoted


def check_assembly(file: TomlFile, gathering: Gathering) -> None:
    """Tell of every name in `[[assembly]]` and `[[cleat]]` that is no panel of the job, and of panels joined to
    themselves.
    """
    names = [panel["name"] for _, panel in _tables(file.data, "panel") if isinstance(panel.get("name"), str)]
    for key_path, name in _names(file.data):
        if name and name not in names:
            text = f"no panel is named {quoted(name)}"
            gathering.problem(file.place(key_path), text, nearest(name, dict.fromkeys(names)))
    _check_places(file, gathering)
    for index, step in _tables(file.data, "assembly"):
        moved = _texts(step.get("panels"))
        for number, name in enumerate(_texts(step.get("to"))):
            if name in moved:
                place = file.place(("assembly", index, "to", number))
                gathering.problem(place, f"{quoted(name)} is joined to itself", "another panel, or leave it out")


def _check_places(file: TomlFile, gathering: Gathering) -> None:
    """A cleat's places, one on every copy of their panels, are as many as the cleats."""
    copies = {
        panel["name"]: _whole(panel.get("copies"), 1) + _whole(panel.get("mirrored"), 0)
        for _, panel in _tables(file.data, "panel")
        if isinstance(panel.get("name"), str)
    }
    for index, cleat in _tables(file.data, "cleat"):
        places = [place.get("on", cleat.get("panel")) for _, place in _tables(cleat, "place")]
        count, needed = _whole(cleat.get("count"), 1), sum(copies.get(str(name), 0) for name in places)
        if places and count != needed and all(str(name) in copies for name in places):
            text = f"count is {count}, but the places on all copies of their panels are {needed}"
            gathering.problem(file.place(("cleat", index)), text, f"count = {needed}, or other places")


def _whole(found: object, otherwise: int) -> int:
    return found if isinstance(found, int) else otherwise


def _names(data: dict[str, Any]) -> Iterator[tuple[KeyPath, str]]:
    for index, cleat in _tables(data, "cleat"):
        if isinstance(cleat.get("panel"), str):
            yield ("cleat", index, "panel"), cleat["panel"]
        for number, place in _tables(cleat, "place"):
            if isinstance(place.get("on"), str):
                yield ("cleat", index, "place", number, "on"), place["on"]
    for index, step in _tables(data, "assembly"):
        for key in ("panels", "to"):
            for number, name in enumerate(_texts(step.get(key))):
                yield ("assembly", index, key, number), name


def _texts(found: object) -> list[str]:
    """A list's texts; what is something else is told with its key."""
    return [entry if isinstance(entry, str) else "" for entry in found] if isinstance(found, list) else []


def _tables(data: dict[str, Any], key: str) -> Iterator[tuple[int, dict[str, Any]]]:
    found = data.get(key)
    for index, entry in enumerate(found if isinstance(found, list) else ()):
        if isinstance(entry, dict):
            yield index, entry
