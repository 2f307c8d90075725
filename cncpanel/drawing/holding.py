"""What holds the sheet and its parts, in words."""

from collections.abc import Iterator, Sequence
from math import radians, tan

from cncpanel.drawing.measures import Measures
from cncpanel.drawing.used_area import UsedArea
from cncpanel.job.model import ScrewSettings
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine
from cncpanel.passes.run import Nub, SheetRuns, Tab
from cncpanel.passes.suction import suction_of, zone_words

NUBS: dict[Nub, str] = {
    "mates": "on edges that meet another panel: pare them until a straightedge lies on, or the joint stays open",
    "form": "on edges with a form or for a moulding: trim them to wall and form, sand, then work on at the bench",
    "seen": "on edges that are seen: trim them flush and sand",
    "nook": "where less than a hand's room is beside them: a narrow chisel along the wall, then a file",
}
STANDS = ("clamp", "screw")
CLAMP_LEAST = 20.0  # mm of free rim that a clamp needs to grip: common practice, no source


def holding_words(
    sheet: Sheet, machine: Machine, runs: SheetRuns, used: UsedArea | None, measures: Measures
) -> Iterator[str]:
    """The sheet's clamps, screws or vacuum; then the tabs. `used`: the area that the runs use."""
    if runs.screw is not None and runs.screws:
        yield screw_words(runs.screw, len(runs.screws), measures)
    named = _named_words(sheet, machine, measures)
    yield from named
    elsewhere = not named and (not runs.screws or machine.table.hold != "screws")
    if machine.table.hold == "vacuum" or elsewhere:
        yield _sheet_words(sheet, machine, used, measures)
    yield from _freed_words(runs, measures)
    if not runs.tabs:
        return
    free = "Nothing else" if any(one.alone for one in runs.freed) else "Nothing"
    heights = measures.lengths(sorted({round(tab.height, 3) for tab in runs.tabs}))
    widths = measures.lengths(sorted({round(tab.width, 3) for tab in runs.tabs}))
    yield (
        f"{len(runs.tabs)} tabs hold parts and slugs (black bars on the map): {widths} wide, {heights} high over the "
        f"underside at the thinnest reading. {free} comes free before the end; then cut them with a chisel or a fine "
        "saw, the sheet held down, and trim flush."
    )
    yield from slope_words(runs.tabs, measures)
    yield from nub_words(runs.tabs)


def slope_words(tabs: Sequence[Tab], measures: Measures) -> Iterator[str]:
    """Which tabs have flanks, how steep and how far under their tops."""
    sloped = [tab for tab in tabs if tab.flank_deg is not None]
    if not sloped:
        return
    deg = max(tab.flank_deg or 0.0 for tab in sloped)
    long = max(tab.height / tan(radians(tab.flank_deg or 90.0)) for tab in sloped)
    rest = len(tabs) - len(sloped)
    said = (
        f" The other {rest} end{'s' if rest == 1 else ''} upright: the wall is not straight for so long."
        if rest
        else ""
    )
    count = f"{len(sloped)} of them slope" if rest else "They slope"
    yield (
        f"{count} off at {deg:g} degrees over {measures.length(round(long, 1))} at both ends, down "
        f"to the underside: cut the slopes too.{said}"
    )


def nub_words(tabs: Sequence[Tab]) -> Iterator[str]:
    """How many nubs have to be dressed with care, why, and on which parts."""
    for nub, words in NUBS.items():
        here = [tab for tab in tabs if tab.nub == nub]
        if here:
            parts = ", ".join(sorted({_whose(tab) for tab in here}))
            yield f"{len(here)} of them stand{'s' if len(here) == 1 else ''} {words} ({parts})."


def _whose(tab: Tab) -> str:
    return tab.part if tab.feature == "outline" else f"{tab.part}, {tab.feature}"


def _freed_words(runs: SheetRuns, measures: Measures) -> Iterator[str]:
    """What comes free in the last passes, and what holds it then."""
    if any(run.kind == "skin" for run in runs.runs):
        yield (
            "A skin is left under every outline until everything else is cut; the last passes go through it, small "
            "parts first: watch them, hands off, stop if a part moves."
        )
    alone = [one.part for one in runs.freed if one.alone]
    if alone:
        yield f"The vacuum alone holds {', '.join(alone)} once cut free: keep it on until the spindle stands still."


def screw_words(screw: ScrewSettings, count: int, measures: Measures) -> str:
    """Which screws, when they are driven, and what then."""
    size = f"{measures.length(screw.diameter)} x {measures.length(screw.length)}"
    return (
        f"{count} screw{'s' if count > 1 else ''} {size}, heads {measures.length(screw.head)} wide and no more than "
        f"{measures.length(screw.head_height)} over the sheet: rings S1, S2 ... on the map. The first program drills "
        f"their holes of {measures.length(screw.hole_diameter)}, then stops with the spindle off: press the sheet "
        "down, drive every screw until its head lies on, no deeper, count them, take the driver away. They stay in "
        "until everything is cut; no other screw goes into the sheet."
    )


def _named_words(sheet: Sheet, machine: Machine, measures: Measures) -> list[str]:
    """The clamps and screws that the job names: the programs pass low over all other places."""
    named = [keep for keep in sheet.stock.keep_out if keep.kind in STANDS and keep.hole is None]
    if not named:
        return []
    tall = measures.length(max(keep.height or machine.table.clamp_height for keep in named))
    return [
        f"Clamps and screws: only where the map hatches them ({len(named)}), no higher than {tall} over the sheet. The "
        "programs pass low over all other places: put nothing else on the sheet."
    ]


def _sheet_words(sheet: Sheet, machine: Machine, used: UsedArea | None, measures: Measures) -> str:
    tall = measures.length(machine.table.clamp_height)
    if machine.table.hold == "vacuum":
        zones = "; ".join(zone_words(suction_of(sheet, machine)))
        said = f"Vacuum: {zones}; mask" if zones else "Vacuum: mask"
        return f"{said} what the sheet does not cover; check the gauge before every program."
    if machine.table.hold == "screws":
        return (
            f"Screws: heads no higher than {tall} over the sheet, in the light grey waste only, clear of every cut by "
            "a tool's width, shorter than sheet and spoilboard together."
        )
    return f"Clamps: no higher than {tall} over the sheet. {_rims(sheet, machine, used, measures)}"


def _rims(sheet: Sheet, machine: Machine, used: UsedArea | None, measures: Measures) -> str:
    """Which rims of the sheet, named as the operator sees them, a clamp may grip, and how far in."""
    if used is None:
        return "Nothing is cut."
    left, low, right, high = used.clear
    rims = {"left": left, "near": low, "right": sheet.length - right, "far": sheet.width - high}
    if machine.sheet_turned:
        rims = {"near": rims["left"], "right": rims["near"], "far": rims["right"], "left": rims["far"]}
    free = [f"{name} {measures.length(room)}" for name, room in rims.items() if room >= CLAMP_LEAST]
    if not free:
        return (
            "NO RIM IS FREE for a clamp of that height beside the tools' way: use lower clamps, screws in the light "
            "grey waste, or tape, and watch the frame program over them."
        )
    return f"Room from the sheet's rim inwards: {', '.join(free)}; nowhere else."
