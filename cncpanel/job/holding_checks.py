"""Mistakes of what holds a sheet: screws whose sizes cannot be or that the job does not describe, wood that is gone."""

from typing import Any

from cncpanel.errors import Gathering
from cncpanel.errors.lines import KeyPath
from cncpanel.errors.toml import TomlFile
from cncpanel.geometry.segment import Bounds
from cncpanel.job.holding import HOLE_PLAY
from cncpanel.job.table_data import millimetres, tables
from cncpanel.job.values import Values
from cncpanel.units import shown

APART = 1e-6  # mm; boxes that only touch do not meet


def check_holding(file: TomlFile, values: Values, gathering: Gathering) -> None:
    """Tell of every such mistake in `file`."""
    settings = file.data.get("settings")
    screws = settings.get("screws") if isinstance(settings, dict) else None
    if isinstance(screws, dict):
        _check_sizes(screws, file, values, gathering)
    for key_path, keep in _keep_outs(file.data):
        if "hole" in keep:
            _check_driven(key_path, keep, screws if isinstance(screws, dict) else None, file, values, gathering)
    _check_ground(file, values, gathering)


def _keep_outs(data: dict[str, Any]) -> list[tuple[KeyPath, dict[str, Any]]]:
    found: list[tuple[KeyPath, dict[str, Any]]] = []
    for index, stock in tables(data, "stock"):
        found += [(("stock", index, "keep_out", n), keep) for n, keep in tables(stock, "keep_out")]
        for number, size in tables(stock, "size"):
            path: KeyPath = ("stock", index, "size", number, "keep_out")
            found += [((*path, n), keep) for n, keep in tables(size, "keep_out")]
    return found


def _check_ground(file: TomlFile, values: Values, gathering: Gathering) -> None:
    """No clamp and no screw where an earlier job cut the sheet away; no screw is driven where another holds already."""
    found = [(path, keep, _box(keep, values)) for path, keep in _keep_outs(file.data)]
    gone = [(path, box) for path, keep, box in found if box and keep.get("kind") == "used"]
    holding = [(path, box) for path, keep, box in found if box and _holds(keep) and "hole" not in keep]
    for path, keep, box in found:
        if box and _holds(keep):
            kind = keep.get("kind", "clamp")
            for other in _met(path, box, gone):
                text = f"the {kind} lies where an earlier job cut the sheet away (keep_out[{other}])"
                gathering.problem(file.place(path), text, "a place on wood; name the pieces of what is used one by one")
        if box and "hole" in keep:
            for other in _met(path, box, holding):
                text = f"the screw's hole is to be drilled where something holds the sheet already (keep_out[{other}])"
                gathering.problem(file.place(path), text, "a place of its own")
            holding.append((path, box))


def _holds(keep: dict[str, Any]) -> bool:
    return keep.get("kind", "clamp") in ("clamp", "screw")


def _met(path: KeyPath, box: Bounds, others: list[tuple[KeyPath, Bounds]]) -> list[int | str]:
    """The numbers of those of the same sheet that the box lies on."""
    return [other[-1] for other, its in others if other[:-1] == path[:-1] and _meet(box, its)]


def _box(keep: dict[str, Any], values: Values) -> Bounds | None:
    """None where it does not say its lengths as it should: that is told elsewhere."""
    pairs = (keep.get("at"), keep.get("size"))
    sides = [millimetres(side, values) for pair in pairs if isinstance(pair, list) for side in pair]
    x, y, across, up, *_ = [*sides, None, None, None, None]
    if x is None or y is None or across is None or up is None:
        return None
    return x, y, x + across, y + up


def _meet(one: Bounds, other: Bounds) -> bool:
    (a0, b0, a1, b1), (c0, d0, c1, d1) = one, other
    return min(a1, c1) - max(a0, c0) > APART and min(b1, d1) - max(b0, d0) > APART


def _check_sizes(screws: dict[str, Any], file: TomlFile, values: Values, gathering: Gathering) -> None:
    """The hole lets the thread through and stops the head."""
    thread, head = (millimetres(screws.get(key), values) for key in ("diameter", "head"))
    hole = millimetres(screws.get("hole"), values)
    if thread is None or head is None:
        return
    unit = values.unit
    needed = (thread + HOLE_PLAY if hole is None else hole) + 2 * HOLE_PLAY
    if hole is not None and hole < thread:
        text = f"{shown(hole, unit)} does not let a thread of {shown(thread, unit)} through"
        gathering.problem(file.place(("settings", "screws", "hole")), text, f"at least {shown(thread, unit)}")
    if head < needed:
        text = f"{shown(head, unit)} does not hold the sheet down round its hole"
        gathering.problem(file.place(("settings", "screws", "head")), text, f"at least {shown(needed, unit)}")


def _check_driven(
    key_path: KeyPath,
    keep: dict[str, Any],
    screws: dict[str, Any] | None,
    file: TomlFile,
    values: Values,
    gathering: Gathering,
) -> None:
    place = file.place((*key_path, "hole"))
    if keep.get("kind", "clamp") != "screw":
        gathering.problem(place, f"a {keep.get('kind', 'clamp')} has no hole", 'with kind = "screw" only')
    elif screws is None:
        gathering.problem(place, "nothing says which screw is driven there", "a table [settings.screws]")
    else:
        size = keep.get("size")
        sides = [millimetres(side, values) for side in size] if isinstance(size, list) else []
        head = millimetres(screws.get("head"), values)
        known = [side for side in sides if side is not None]
        if head is not None and known and min(known) < head:
            text = f"{shown(min(known), values.unit)} is less than the head of {shown(head, values.unit)}"
            gathering.problem(file.place((*key_path, "size")), text, "the head's diameter at least, both ways")
