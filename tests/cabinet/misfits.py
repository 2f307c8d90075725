"""Planted misfits: one thing of a sound cabinet's derived panels, or of its file, made wrong."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from cncpanel.cabinet.derive import Whole, read_cabinet
from cncpanel.cabinet.finding import Finding
from cncpanel.cabinet.fit import fit_findings
from cncpanel.cabinet.scene import scene
from cncpanel.errors import Gathering
from cncpanel.job.model import Panel
from cncpanel.panel.panel import Panel as Resolved
from cncpanel.panel.resolve import draft_of, resolve, resolve_panel

Change = Callable[[Panel], Panel]


@dataclass(frozen=True, slots=True, kw_only=True)
class Misfit:
    """A change of one panel, and what the findings must name."""

    name: str
    panel: str
    change: Change
    named: str


class Bench:
    """A sound cabinet, its panels resolved once; only the changed one is resolved again."""

    def __init__(self, path: Path) -> None:
        self.whole: Whole = read_cabinet(path)
        self.panels: tuple[Resolved, ...] = resolve(self.whole.read, Gathering())

    def fails(self, misfit: Misfit) -> list[Finding]:
        job = self.whole.read.job
        index = next(i for i, panel in enumerate(job.panel) if panel.name == misfit.panel)
        changed = misfit.change(job.panel[index])
        panels = (*job.panel[:index], changed, *job.panel[index + 1 :])
        read = replace(self.whole.read, job=job.model_copy(update={"panel": panels}))
        draft = draft_of(read, index, Gathering())
        assert draft is not None
        resolved = (*self.panels[:index], resolve_panel(draft, index), *self.panels[index + 1 :])
        found = [
            replace(one, fitting=fitting)
            for one in self.whole.fitted
            for fitting in [panels[one.index].fitting[_number(job.panel[one.index], one.fitting)]]
        ]
        whole = replace(self.whole, read=read, fitted=tuple(found))
        return [finding for finding in fit_findings(scene(whole, resolved)) if finding.verdict == "fails"]


def _number(panel: Panel, fitting: object) -> int:
    return next(number for number, one in enumerate(panel.fitting) if one is fitting)


def longer(by: float) -> Change:
    return lambda panel: panel.model_copy(update={"size": (panel.size[0], panel.size[1] + by)})  # type: ignore[index]


def wider(by: float) -> Change:
    return lambda panel: panel.model_copy(update={"size": (panel.size[0] + by, panel.size[1])})  # type: ignore[index]


def housing_moved(number: int, by: float) -> Change:
    def change(panel: Panel) -> Panel:
        grooves = list(panel.groove)
        groove = grooves[number]
        path = tuple((x, y + by) for x, y in groove.path)  # type: ignore[misc]
        grooves[number] = groove.model_copy(update={"path": path})
        return panel.model_copy(update={"groove": tuple(grooves)})

    return change


def housing_deeper(number: int, by: float) -> Change:
    def change(panel: Panel) -> Panel:
        grooves = list(panel.groove)
        grooves[number] = grooves[number].model_copy(update={"depth": grooves[number].depth + by})
        return panel.model_copy(update={"groove": tuple(grooves)})

    return change


def housing_gone(number: int) -> Change:
    return lambda panel: panel.model_copy(
        update={"groove": tuple(g for n, g in enumerate(panel.groove) if n != number)}
    )


def fitting_at(number: int, spot: int, at: tuple[float, float]) -> Change:
    def change(panel: Panel) -> Panel:
        fittings = list(panel.fitting)
        spots = list(fittings[number].at)
        spots[spot] = at
        fittings[number] = fittings[number].model_copy(update={"at": tuple(spots)})
        return panel.model_copy(update={"fitting": tuple(fittings)})

    return change


def corners_rounded(radius: float) -> Change:
    def change(panel: Panel) -> Panel:
        assert panel.outline is not None
        corners = [
            c.model_copy(update={"radius": radius}) if getattr(c, "radius", 0) == 10 else c for c in panel.outline
        ]
        return panel.model_copy(update={"outline": tuple(corners)})

    return change


MATED = ("lower front", "deck soffit", "canopy soffit", "marquee frame", "top", "bottom", "back door")
ACROSS = (*MATED, "nose rail", "control deck", "screen bezel", "back upper", "back rail", "shelf", "monitor plate")


def millrace_misfits() -> Iterator[Misfit]:
    """A hundred of them, and some."""
    for name in MATED:
        for by in (-2.0, -1.0, 1.0, 2.0):
            yield Misfit(name=f"{name} {by:+g} long", panel=name, change=longer(by), named=name)
    for name in ACROSS:
        for by in (-5.0 if name in ("bottom", "shelf") else -1.0, 2.0):
            yield Misfit(name=f"{name} {by:+g} wide", panel=name, change=wider(by), named=name)
    for number, name in enumerate(("bottom", "shelf")):
        for by in (-2.0, -1.0, 1.0, 2.0):
            change = housing_moved(number, by)
            yield Misfit(name=f"dado of {name} {by:+g}", panel="side", change=change, named=name)
        for by in (-2.0, 2.0):
            change = housing_deeper(number, by)
            yield Misfit(name=f"dado of {name} {by:+g} deep", panel="side", change=change, named=name)
        yield Misfit(name=f"dado of {name} forgotten", panel="side", change=housing_gone(number), named=name)
    for by in (-1.0, -0.5, 0.5, 1.0):
        yield Misfit(name=f"drawer front {by:+g} wide", panel="drawer front", change=wider(by), named="drawer front")
        yield Misfit(name=f"drawer front {by:+g} high", panel="drawer front", change=longer(by), named="drawer front")
    for by in (1.0, 2.0):
        yield Misfit(name=f"tie {by:+g} wide", panel="carrier tie", change=wider(by), named="carrier tie")
        yield Misfit(name=f"carriers {by:+g} long", panel="drawer carrier", change=wider(by), named="drawer carrier")
    for by in (-1.0, -4.0):
        yield Misfit(name=f"tie {by:+g} wide", panel="carrier tie", change=wider(by), named="carrier tie")
        yield Misfit(name=f"carriers {by:+g} long", panel="drawer carrier", change=wider(by), named="drawer carrier")
    for radius in (15.0, 20.0, 30.0):
        yield Misfit(name=f"corners of {radius:g}", panel="side", change=corners_rounded(radius), named="profile")
    deck = "control deck"
    for spot in range(6):
        at = (24.0, 60.0 + 25 * spot)
        yield Misfit(name=f"button {spot} over a cleat", panel=deck, change=fitting_at(1, spot, at), named="button 30")
        at = (580.0, 180.0 - 25 * spot)
        yield Misfit(name=f"button {spot} on the other", panel=deck, change=fitting_at(1, spot, at), named="button 30")
    for at in ((60.0, 120.0), (540.0, 120.0), (122.0, 20.0), (122.0, 225.0), (330.0, 120.0), (300.0, 110.0)):
        yield Misfit(name=f"stick at {at}", panel=deck, change=fitting_at(0, 0, at), named="stick")
    for x in (80.0, 520.0):
        change = fitting_at(0, 0, (x, 210.0))
        yield Misfit(name=f"screen at {x}", panel="screen bezel", change=change, named="screen")
    for x in (30.0, 55.0, 590.0):
        change = fitting_at(0, 0, (x, 101.0))
        yield Misfit(name=f"speaker at {x}", panel="canopy soffit", change=change, named="speaker")
    for spot in ((302.0, 55.0), (302.0, 20.0), (70.0, 132.0)):
        yield Misfit(name=f"fan at {spot}", panel="back upper", change=fitting_at(0, 0, spot), named="fan")
