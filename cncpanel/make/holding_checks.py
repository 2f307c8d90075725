"""What the job's way of holding asks of its stock and its machine: screws that grip and stay off the table."""

from cncpanel.errors import Gathering
from cncpanel.job.holding import ScrewSettings
from cncpanel.job.model import Stock
from cncpanel.job.read import ReadJob
from cncpanel.layout.layout import Layout
from cncpanel.layout.turned import needs_turning
from cncpanel.machine.model import Machine
from cncpanel.panel.panel import Panel
from cncpanel.passes.shop import least_skin

LEAST_LEFT = 0.2  # mm of skin that stays in the worst case: common practice, no source


def tell_screws(read: ReadJob, panels: tuple[Panel, ...], machine: Machine, gathering: Gathering) -> None:
    """Screws too long for sheet and spoilboard, or too short to grip, stock by stock."""
    screw = read.job.settings.screws
    if screw is None:
        return
    place = read.file.place(("settings", "screws", "length"))
    used = {panel.stock.name for panel in panels}
    for stock in read.job.stock:
        if stock.name in used:
            least, most = lengths(screw, stock, machine)
            allowed = f"{least:g} to {most:g}" if least <= most else "a thicker spoilboard, or less grip"
            if screw.length > most:
                text = f"a screw of {screw.length:g} mm goes through {stock.name} and the spoilboard into the table"
                gathering.problem(place, text, allowed)
            elif screw.length < least:
                text = f"a screw of {screw.length:g} mm has less than {screw.grip:g} mm of grip under {stock.name}"
                gathering.problem(place, text, allowed)


def tell_lone(read: ReadJob, panels: tuple[Panel, ...], machine: Machine, gathering: Gathering) -> None:
    """A sheet that only one named clamp or screw holds turns about it: common practice, no source."""
    used = {panel.stock.name for panel in panels}
    for number, stock in enumerate(read.job.stock):
        held = [keep for keep in stock.keep_out if keep.kind in ("clamp", "screw")]
        if stock.name in used and len(held) == 1 and machine.table.hold != "vacuum":
            text = f"one {held[0].kind} alone: {stock.name} would turn about it under the tool"
            remedy = "two at least, near opposite ends; name all, so that the proof knows them"
            place = read.file.place(("stock", number, "keep_out", stock.keep_out.index(held[0])))
            gathering.warn(place, text, remedy)


def tell_hold(read: ReadJob, panels: tuple[Panel, ...], machine: Machine, gathering: Gathering) -> None:
    """Vacuum without a vacuum table, and a skin that may turn out to be none, or is as good as no cut at all."""
    settings, table = read.job.settings, machine.table
    if settings.hold == "vacuum" and table.hold != "vacuum":
        text = f"{machine.name} holds its sheets by {table.hold}"
        gathering.problem(read.file.place(("settings", "hold")), text, "tabs, or skin with tabs")
    if settings.skin is None:
        return
    place = read.file.place(("settings", "skin"))
    if settings.hold != "skin":
        gathering.problem(place, "a skin is left only with hold = skin", 'settings.hold = "skin"')
    least = least_skin(machine) + LEAST_LEFT
    if settings.skin < least - 1e-9:
        text = f"a skin of {settings.skin:g} mm may be cut through: thickness, table and zero are out by up to"
        gathering.problem(place, f"{text} {least_skin(machine):g} mm", f"at least {least:g}")
    used = {panel.stock.name for panel in panels}
    for stock in read.job.stock:
        if stock.name in used and settings.skin > stock.thinnest / 2:
            text = f"a skin of {settings.skin:g} mm is more than half of {stock.name}"
            gathering.problem(place, text, f"at most {stock.thinnest / 2:g}")


def lengths(screw: ScrewSettings, stock: Stock, machine: Machine) -> tuple[float, float]:
    """The shortest and the longest screw, mm: through the thickest place, off the table under the thinnest.

    Its point stays over the table even where the spoilboard was surfaced down by its flatness.
    """
    table = machine.table
    spread = table.thickness_spread
    return stock.thickest + spread + screw.grip, stock.thinnest - spread + table.spoilboard - table.flatness


def tell_screws_turned(read: ReadJob, layout: Layout, panels: tuple[Panel, ...], gathering: Gathering) -> None:
    """A sheet that is turned over lies on its dowels or at its stops: screws driven before would not come along."""
    if read.job.settings.screws is None:
        return
    known = {panel.index: panel for panel in panels}
    for sheet in layout.sheets:
        if needs_turning(sheet, known):
            text = f"sheet {sheet.number} is cut from both faces and screwed down at a stop of its programs"
            allowed = "keep-outs of kind screw without a hole, driven before each set-up, or clamps"
            gathering.problem(read.file.place(("settings", "screws")), text, allowed)
