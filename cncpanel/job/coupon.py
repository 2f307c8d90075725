"""A test coupon as a job of its own: grooves in steps, a short tongue, and check cuts for Z zero and thickness.

Why a coupon: a board's thickness and a cutter's true width differ by tenths from sheet to sheet, and a housing that is
tried on a scrap of the real board costs no panel. Steps of 0.1 mm: common practice, no source.
"""

import json
from dataclasses import dataclass

from cncpanel.job.model import Job, KeepOut, Stock
from cncpanel.units import Unit, shown

STEPS = (0.0, 0.1, 0.2, 0.3, 0.4, 0.5)  # mm over the thickest reading
INCH_STEPS = tuple(thousandths * 0.0254 for thousandths in (0, 4, 8, 12, 16, 20))
_LENGTH = 55.0  # mm of groove: long enough to feel whether it slides or jams
_RIM = 15.0  # mm round everything
_LETTERS = 7.0  # mm high
_CHECK = 30.0  # mm, the side of a check cut: a depth gauge's foot bridges it


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cuts:
    """The coupon's depths, mm."""

    groove: float
    zero: float
    floor: float


def coupon_job(job: Job, stock: Stock, machine: str) -> str:
    """The text of a job file that cuts a coupon from `stock` on `machine`, in the job's unit."""
    cuts = _cuts(stock, job.settings.least_floor)
    steps = INCH_STEPS if job.job.units == "inch" else STEPS
    pitch = stock.thickest + max(_RIM, 2.5 * _LETTERS)
    width = max(2 * _RIM + len(steps) * pitch, 4 * _RIM + 2 * _CHECK)
    parts = [_head(job, stock, machine), _panel(stock, width, cuts, job.job.units)]
    for number, step in enumerate(steps):
        parts.append(_groove(_RIM + (number + 0.5) * pitch, stock.thickest + step, cuts.groove, _said(step, job)))
    parts.append(_check("check of Z zero", _RIM, cuts.zero))
    parts.append(_check("check of thickness", width - _RIM - _CHECK, stock.thickest - cuts.floor))
    parts.append(_tongue(stock))
    return "\n".join(parts)


def _cuts(stock: Stock, least_floor: float) -> _Cuts:
    thick = stock.thickest
    least = least_floor + thick - stock.thinnest  # where the board is thinnest, least_floor is left
    return _Cuts(
        groove=min(thick / 3, thick - least),
        zero=min(3.0, thick / 4, thick - least),
        floor=max(min(3.0, thick / 2), least),
    )


def _said(step: float, job: Job) -> str:
    return f"{step / 25.4:.3f}" if job.job.units == "inch" else f"{step:.1f}"


def _mm(value: float) -> str:
    return f'"{value:.4f} mm"'


def _text(value: str) -> str:
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")


def _head(job: Job, stock: Stock, machine: str) -> str:
    readings = ", ".join(map(_mm, stock.measured))
    sheet = ", ".join(map(_mm, stock.sheet))
    return f"""\
# A test coupon. Cut it from the very board that the job is to be cut from, then:
# 1. Slide the tongue into the grooves: the first that takes it by hand, without play, is the clearance for the job.
# 2. Measure the depth of the check of Z zero: what it is over the drawing, Z zero was too low.
# 3. Measure the floor of the check of thickness with a caliper, and the board beside it: put the readings in measured.

[job]
name = {_text(job.job.name[:50] + " coupon")}
units = "{job.job.units}"
machine = {_text(machine)}
note = "A test coupon: try the tongue in the grooves; the first that takes it by hand is the clearance."

[settings]
least_floor = {_mm(job.settings.least_floor)}

[[stock]]
name = {_text(stock.name)}
material = "{stock.material}"
thickness = {_mm(stock.thickness)}
measured = [{readings}]
sheet = [{sheet}]
count = 1
margin = {_mm(stock.margin)}
{"".join(map(_keep_out, stock.keep_out))}"""


def _keep_out(keep_out: KeepOut) -> str:
    at, size = (", ".join(map(_mm, pair)) for pair in (keep_out.at, keep_out.size))
    said = {"height": keep_out.height, "clear": keep_out.clear}
    more = "".join(f"{key} = {_mm(value)}\n" for key, value in said.items() if value is not None)
    return f'\n[[stock.keep_out]]\nkind = "{keep_out.kind}"\nat = [{at}]\nsize = [{size}]\n{more}'


def _panel(stock: Stock, width: float, cuts: _Cuts, unit: Unit) -> str:
    thick = shown(stock.thickest, unit)
    note = (
        f"Groove marks tell the width over {thick}. Check of Z zero: {shown(cuts.zero, unit)} deep; what it is deeper, "
        f"Z zero was too low. Check of thickness: a floor of {shown(cuts.floor, unit)} where the board is {thick} "
        "thick: measure floor and board, put the readings into measured."
    )
    height = _LENGTH + _LETTERS + _CHECK + 3 * _RIM
    return f"""\
[[panel]]
name = "coupon"
stock = {_text(stock.name)}
size = [{_mm(width)}, {_mm(height)}]
note = {_text(note)}
"""


def _groove(x: float, width: float, depth: float, said: str) -> str:
    return f"""\
[[panel.groove]]
name = "groove {said}"
path = [[{_mm(x)}, 0], [{_mm(x)}, {_mm(_LENGTH)}]]
width = {_mm(width)}
depth = {_mm(depth)}
ends = ["open", "round"]

[[panel.mark]]
text = "{said}"
at = [{_mm(x - 1.1 * _LETTERS)}, {_mm(_LENGTH + _RIM / 2)}]
height = {_mm(_LETTERS)}
"""


def _check(name: str, x: float, depth: float) -> str:
    return f"""\
[[panel.recess]]
name = "{name}"
at = [{_mm(x)}, {_mm(_LENGTH + _LETTERS + 2 * _RIM)}]
size = [{_mm(_CHECK)}, {_mm(_CHECK)}]
radius = {_mm(5)}
depth = {_mm(depth)}
"""


def _tongue(stock: Stock) -> str:
    return f"""\
[[panel]]
name = "tongue"
stock = {_text(stock.name)}
size = [{_mm(_LENGTH - stock.thickest / 2 - 3)}, {_mm(2 * _LENGTH)}]
"""
