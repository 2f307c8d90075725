"""Where the job's parts lie: the layout kept beside the job while it fits, else one looked for within the budget."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from math import isclose
from pathlib import Path

from cncpanel.drawing.packing_pieces import best_words
from cncpanel.errors import Gathering, Place
from cncpanel.geometry.contour import Contour
from cncpanel.job.read import ReadJob
from cncpanel.layout.alternatives import best_of
from cncpanel.layout.budget import Budget
from cncpanel.layout.judge import faults
from cncpanel.layout.kept import fingerprint, layout_of, layout_text
from cncpanel.layout.layout import Layout
from cncpanel.layout.yields import yields
from cncpanel.make.choice import Choice
from cncpanel.make.one_file import write
from cncpanel.operation.operation import PanelPlan, Profile
from cncpanel.panel.panel import Panel
from cncpanel.units import DimensionUnit, shown_area

Waste = Mapping[int, tuple[Contour, ...]]


def kept_path(job: Path) -> Path:
    """Where the job's accepted layout is kept."""
    return job.with_suffix(".layout.json")


def arranged(
    path: Path,
    read: ReadJob,
    panels: Sequence[Panel],
    plans: Sequence[PanelPlan],
    gap: float,
    choice: Choice,
    tell: Callable[[str], None],
    gathering: Gathering,
) -> Layout:
    """All parts on sheets, judged; what does not fit is gathered."""
    waste = waste_of(read, plans)
    by_index = {panel.index: panel for panel in panels}
    kept = None if choice.anew else _kept(path, panels, gap, waste, gathering)
    if kept is not None:
        tell(f"using the layout in {kept_path(path).name}")
        return kept
    packing = read.job.settings.packing
    budget = Budget(
        steps=packing.steps if choice.steps is None else choice.steps,
        seed=packing.seed if choice.seed is None else choice.seed,
        seconds=choice.seconds,
        tell=tell,
    )
    count = packing.alternatives if choice.alternatives is None else choice.alternatives
    layout = best_of(panels, gap, gathering, budget, waste, count, choice.cores)
    gathering.stop_if_any()
    wrong = faults(layout, by_index, waste)
    if wrong:
        raise RuntimeError("a layout failed its own judge: " + "; ".join(wrong))
    return layout


def waste_of(read: ReadJob, plans: Sequence[PanelPlan]) -> Waste:
    """By panel, the openings whose slug stays whole until the end, where the job lets parts lie in them."""
    if not read.job.settings.use_openings:
        return {}
    return slugs(plans)


def slugs(plans: Sequence[PanelPlan]) -> Waste:
    """By panel, the openings whose slug stays whole until the end."""
    found = {plan.panel.index: tuple(_slugs(plan)) for plan in plans}
    return {index: contours for index, contours in found.items() if contours}


def _slugs(plan: PanelPlan) -> list[Contour]:
    return [
        operation.contour
        for operation in plan.operations
        if isinstance(operation, Profile) and operation.side == "inside"
    ]


def _kept(path: Path, panels: Sequence[Panel], gap: float, waste: Waste, gathering: Gathering) -> Layout | None:
    """The layout beside the job; one that no longer fits is told and left alone."""
    file = kept_path(path)
    if not file.exists():
        return None
    try:
        text = file.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        text = ""
    layout = layout_of(text, panels, fingerprint(panels, gap, waste))
    is_ours = layout is not None and isclose(layout.gap, gap, abs_tol=1e-6)  # the gap that it is judged by
    if layout is None or not is_ours or faults(layout, {panel.index: panel for panel in panels}, waste):
        gathering.warn(
            Place(str(file)),
            "was kept for other parts, stock or tools and is not used",
            "lay out anew and keep that, or delete the file",
        )
        return None
    return layout


def keep_layout(path: Path, layout: Layout, read: ReadJob, panels: Sequence[Panel], plans: Sequence[PanelPlan]) -> Path:
    """Write the layout beside the job, whole or not at all; where it was written. Raises ProblemsFound."""
    file = kept_path(path)
    text = layout_text(layout, fingerprint(panels, layout.gap, waste_of(read, plans)))
    write(file, text.encode(), "a folder that may be written to")
    return file


def packing_lines(layout: Layout, panels: Sequence[Panel], unit: DimensionUnit) -> Iterator[str]:
    """What the layout needs and how good it is known to be, a sentence a line."""
    for told in yields(layout, panels):
        price = "" if told.price is None else f", {told.price:.2f} in all"
        yield (
            f"{told.packed.stock}: {told.packed.sheets} sheet{'' if told.packed.sheets == 1 else 's'}{price}, "
            f"{100 * told.share:.1f} % used, {shown_area(told.waste_m2, unit)} left over; {best_words(told)}"
        )
    pieces = [f"{sheet.piece} (sheet {sheet.number})" for sheet in layout.sheets if sheet.piece]
    if pieces:
        yield f"from the rack: {', '.join(pieces)}"
    ended = f"ended by the clock after {layout.seconds:g} s" if layout.seconds else "not cut short"
    seeds = f"seed {layout.seed}"
    if layout.alternatives > 1:
        last = layout.seed + layout.alternatives - 1
        seeds = f"the best of {layout.alternatives} alternatives, seeds {layout.seed} to {last}"
    yield f"{layout.steps} steps, {seeds}, {ended}"
