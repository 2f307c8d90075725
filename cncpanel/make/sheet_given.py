"""What the job's keep-outs are to the witness: clamps and screws that stand, places cut away before, flaws."""

from collections.abc import Iterable
from dataclasses import replace

from cncpanel.job.model import KeepOut, Stock
from cncpanel.machine.model import Machine
from cncpanel.proof.circumstances import AS_THE_MACHINE_SAYS, Circumstances, NotJudged
from cncpanel.proof.obstacle import Obstacle

STANDS = ("clamp", "screw")
UNNAMED_CLAMPS = NotJudged(
    "clamps and screws", "the job names none (keep_out of its stock): they must stand outside every cut", safety=False
)


def circumstances_of(stock: Stock, machine: Machine) -> Circumstances:
    """The sheet on this machine's table; clamps and screws in program axes, the rest in the sheet's."""
    held = (one for one in _of_kinds(stock, machine, STANDS))
    turned = (one.turned(stock.sheet[1]) if machine.sheet_turned else one for one in held)
    return replace(
        AS_THE_MACHINE_SAYS,
        holding=tuple(turned),
        used=tuple(_of_kinds(stock, machine, ("used",))),
        flaws=tuple(_of_kinds(stock, machine, ("defect",))),
    )


def _of_kinds(stock: Stock, machine: Machine, kinds: tuple[str, ...]) -> Iterable[Obstacle]:
    return (_obstacle(keep, machine) for keep in stock.keep_out if keep.kind in kinds)


def _obstacle(keep: KeepOut, machine: Machine) -> Obstacle:
    (x, y), (width, depth) = keep.at, keep.size
    height = (keep.height or machine.table.clamp_height) if keep.kind in STANDS else 0.0
    return Obstacle(
        kind=keep.kind, xmin=x, ymin=y, xmax=x + width, ymax=y + depth, height=height, driven=keep.hole is not None
    )
