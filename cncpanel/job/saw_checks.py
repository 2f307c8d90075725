"""Mistakes about the saw that no single key shows: no machine and no saw, limits that leave nothing between them."""

from cncpanel.errors import Gathering
from cncpanel.errors.toml import TomlFile
from cncpanel.job.saw import Saw
from cncpanel.job.values import Values
from cncpanel.units import shown


def check_saw(file: TomlFile, values: Values, gathering: Gathering) -> None:
    """Tell of a job that neither machine nor saw can make, and of a saw that cannot rip or trim its sheets."""
    head, saw = file.data.get("job"), file.data.get("saw")
    if isinstance(head, dict) and "machine" not in head and saw is None:
        gathering.problem(file.place(("job", "machine")), "missing", "or a table [saw], for a shop without a router")
    if not isinstance(saw, dict):
        return
    widest, safe = (_told(file, values, key) for key in ("widest_rip", "safe_strip"))
    if widest is not None and safe is not None and widest < 2 * safe:
        key = "widest_rip" if "widest_rip" in saw else "safe_strip"
        text = f"a fence that goes to {shown(widest, values.unit)} leaves no room beside a safe strip"
        gathering.problem(file.place(("saw", key)), text, "at least twice safe_strip")
    _check_trim(file, values, gathering)


def _check_trim(file: TomlFile, values: Values, gathering: Gathering) -> None:
    trim = _told(file, values, "trim")
    stocks = file.data.get("stock")
    for stock in stocks if isinstance(stocks, list) else ():
        sheet = stock.get("sheet") if isinstance(stock, dict) else None
        sides = [_millimetres(side, values) for side in sheet] if isinstance(sheet, list) else []
        shortest = min((side for side in sides if side is not None), default=None)
        if trim is not None and shortest is not None and 0 < shortest <= 2 * trim:
            text, allowed = "leaves nothing of the sheet", f"less than {shown(shortest / 2, values.unit)}"
            gathering.problem(file.place(("saw", "trim")), text, allowed)
            return


def _told(file: TomlFile, values: Values, key: str) -> float | None:
    written = file.value(("saw", key))
    return float(Saw.model_fields[key].default) if written is None else _millimetres(written, values)


def _millimetres(written: object, values: Values) -> float | None:
    """A length that may be wrong; None where it is (told with its key)."""
    try:
        found = values.length(written)
    except ValueError:
        return None
    return found if isinstance(found, float) else None
