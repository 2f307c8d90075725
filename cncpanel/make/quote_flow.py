"""A job's offer: its programs are made for their times, nothing is written but the page."""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from cncpanel.cabinet.derive import read_cabinet
from cncpanel.cabinet.doorway import size
from cncpanel.cabinet.quote import Quote, Work, quote
from cncpanel.cabinet.rates import Rates, read_rates
from cncpanel.cabinet.scene import scene
from cncpanel.drawing.offer import offer
from cncpanel.make.choice import Choice
from cncpanel.make.flow import Prepared, prepare
from cncpanel.make.turned_set import cut_both
from cncpanel.output.pdf import pdf


@dataclass(frozen=True, slots=True, kw_only=True)
class Offered:
    """The figures and the page."""

    quote: Quote
    rates: Rates
    page: bytes


def offered(job: Path, rates_path: Path, tell: Callable[[str], None]) -> Offered:
    """Work the offer out; raises ProblemsFound with the mistakes of job and rates."""
    rates = read_rates(rates_path)
    prepared = prepare(job, Choice(), tell)
    whole = read_cabinet(job)
    work = Work(
        job=prepared.read.job,
        panels=prepared.panels,
        sheets=Counter(sheet.stock.name for sheet in prepared.layout.sheets),
        machine_s=_machine_s(prepared, tell),
        assembly=whole.assembly,
    )
    found = quote(work, rates)
    said = ""
    if whole.assembly is not None:
        width, depth, height = size(scene(whole, prepared.panels))
        said = f"{width:.0f} wide, {depth:.0f} deep, {height:.0f} high"
    return Offered(quote=found, rates=rates, page=pdf(offer(prepared.read.job, found, rates, said)))


def _machine_s(prepared: Prepared, tell: Callable[[str], None]) -> float:
    """How long all programs run, changes of tools and sheets not counted."""
    count, taken = len(prepared.layout.sheets), 0.0
    for sheet in prepared.layout.sheets:
        tell(f"timing sheet {sheet.number} of {count}")
        plans, reverse = prepared.plans, prepared.reverse
        written = cut_both(sheet, count, plans, reverse, prepared.machine, prepared.read, prepared.gathering)
        taken += sum(one.time.total_s for one in written)
    prepared.gathering.stop_if_any()
    return taken
