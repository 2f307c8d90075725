"""Mistakes that no single key shows: names that clash, stocks that do not exist, readings that cannot be.

They look at the file's data as it stands, not at the models, so that a mistake elsewhere hides none of them.
"""

from collections.abc import Iterator
from typing import Any

from cncpanel.errors import Gathering
from cncpanel.errors.lines import KeyPath
from cncpanel.errors.toml import TomlFile
from cncpanel.errors.validation import nearest, quoted
from cncpanel.job.assembly_checks import check_assembly
from cncpanel.job.holding_checks import check_holding
from cncpanel.job.paper_checks import check_artwork, check_template
from cncpanel.job.program_name import program_name
from cncpanel.job.saw_checks import check_saw
from cncpanel.job.table_data import millimetres, tables
from cncpanel.job.values import Values
from cncpanel.units import shown

FAR_OFF = 0.12  # of the nominal thickness; 12 mm plywood sold at 11.5 is 4 %, 3/4 in sold at 18.2 is 4.5 %
_NOTHING = "has nothing that a program can show"
_LETTERS = "letters A-Z or digits"


def check_job(file: TomlFile, values: Values, gathering: Gathering) -> None:
    """Tell of every such mistake in `file`."""
    _check_job_name(file, gathering)
    for kind in ("stock", "panel"):
        _check_names(kind, file, gathering)
    _check_stock_names(file, gathering)
    _check_stock_used(file, gathering)
    check_artwork(file, gathering)
    check_template(file, values, gathering)
    check_assembly(file, gathering)
    check_saw(file, values, gathering)
    check_holding(file, values, gathering)
    for index, stock in tables(file.data, "stock"):
        _check_readings(("stock", index), stock, file, values, gathering)
        _check_margin(("stock", index), stock, file, values, gathering)
        _check_keep_outs(("stock", index), stock, file, values, gathering)
        for number, size in tables(stock, "size"):
            sized = {"margin": stock.get("margin", 10), **size}
            _check_margin(("stock", index, "size", number), sized, file, values, gathering)
            _check_keep_outs(("stock", index, "size", number), size, file, values, gathering)


def _check_job_name(file: TomlFile, gathering: Gathering) -> None:
    name = file.value(("job", "name"))
    if isinstance(name, str) and name and not program_name(name):
        gathering.problem(file.place(("job", "name")), f"{quoted(name)} {_NOTHING}", _LETTERS)


def _check_names(kind: str, file: TomlFile, gathering: Gathering) -> None:
    """No name twice, also not once reduced to what a program may hold."""
    seen: dict[str, tuple[str, int]] = {}
    for index, table in tables(file.data, kind):
        name = table.get("name")
        if not isinstance(name, str) or not name:
            continue
        place = file.place((kind, index, "name"))
        reduced = program_name(name)
        if not reduced:
            gathering.problem(place, f"{quoted(name)} {_NOTHING}", _LETTERS)
        elif reduced in seen:
            first, line = seen[reduced]
            if first == name:
                gathering.problem(place, f"{quoted(name)} is the name of another {kind} (line {line})")
            else:
                said = f"{quoted(name)} and {quoted(first)} (line {line}) are both {reduced} in a program"
                gathering.problem(place, said)
        else:
            seen[reduced] = (name, place.line)


def _check_stock_names(file: TomlFile, gathering: Gathering) -> None:
    """Every stock that is referred to stands in the file."""
    names = [stock["name"] for _, stock in tables(file.data, "stock") if isinstance(stock.get("name"), str)]
    for key_path, name in _stock_references(file.data):
        if name not in names:
            place = file.place(key_path)
            gathering.problem(place, f"no stock is named {quoted(name)}", nearest(name, dict.fromkeys(names)))


def _check_stock_used(file: TomlFile, gathering: Gathering) -> None:
    """Warn of a stock that nothing is made of, where all panels say what they are made of."""
    used = [panel.get("stock") for _, panel in tables(file.data, "panel")]
    names = [stock.get("name") for _, stock in tables(file.data, "stock")]
    if used and all(name in names and name is not None for name in used):
        for index, name in enumerate(names):
            if isinstance(name, str) and name not in used:
                gathering.warn(file.place(("stock", index)), f"no panel is made of {quoted(name)}")


def _stock_references(data: dict[str, Any]) -> Iterator[tuple[KeyPath, str]]:
    for index, panel in tables(data, "panel"):
        if isinstance(panel.get("stock"), str):
            yield ("panel", index, "stock"), panel["stock"]
        for number, groove in tables(panel, "groove"):
            if isinstance(groove.get("houses"), str):
                yield ("panel", index, "groove", number, "houses"), groove["houses"]


def _check_readings(
    key_path: KeyPath, stock: dict[str, Any], file: TomlFile, values: Values, gathering: Gathering
) -> None:
    nominal = millimetres(stock.get("thickness"), values)
    readings = stock.get("measured")
    for index, written in enumerate(readings if isinstance(readings, list) else ()):
        reading = millimetres(written, values)
        if nominal and reading and abs(reading - nominal) > FAR_OFF * nominal:
            gathering.warn(
                file.place((*key_path, "measured", index)),
                f"a reading of {shown(reading, values.unit)} on stock of {shown(nominal, values.unit)}",
                "measure again, or correct the thickness",
            )


def _check_margin(
    key_path: KeyPath, stock: dict[str, Any], file: TomlFile, values: Values, gathering: Gathering
) -> None:
    margin = millimetres(stock.get("margin"), values)
    sheet = stock.get("sheet")
    sides = [millimetres(side, values) for side in sheet] if isinstance(sheet, list) else []
    shortest = min((side for side in sides if side is not None), default=None)
    if margin is not None and shortest is not None and 0 < shortest <= 2 * margin:
        place = file.place((*key_path, "margin"))
        gathering.problem(place, "leaves nothing of the sheet", f"less than {shown(shortest / 2, values.unit)}")


def _check_keep_outs(
    key_path: KeyPath, stock: dict[str, Any], file: TomlFile, values: Values, gathering: Gathering
) -> None:
    """A keep-out that lies beyond its sheet is a slip of the pen."""
    sheet = stock.get("sheet")
    sides = [millimetres(side, values) for side in sheet] if isinstance(sheet, list) else []
    for index, keep in tables(stock, "keep_out"):
        at = keep.get("at")
        corner = [millimetres(side, values) for side in at] if isinstance(at, list) else []
        for axis, place, side in zip("xy", corner, sides, strict=False):
            if place is not None and side is not None and place >= side > 0:
                gathering.problem(
                    file.place((*key_path, "keep_out", index, "at")),
                    f"{axis} = {shown(place, values.unit)} is beyond the sheet",
                    f"less than {shown(side, values.unit)}",
                )
