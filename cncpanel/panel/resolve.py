"""From what a job says to panels as they are to be: shapes, floors and holes, with everything wrong told."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial
from itertools import groupby

from cncpanel.errors import Gathering
from cncpanel.geometry.nearness import Body
from cncpanel.geometry.region import Region
from cncpanel.job.read import ReadJob
from cncpanel.panel.cleat_judge import judge_cleats
from cncpanel.panel.depths import judge_depths
from cncpanel.panel.draft import Draft
from cncpanel.panel.edges import edges
from cncpanel.panel.floors import settled
from cncpanel.panel.grille import Grid, grilles
from cncpanel.panel.groove import grooves
from cncpanel.panel.hand import judge_hand
from cncpanel.panel.hole import Bored, holes
from cncpanel.panel.judge import Cut, judge_cuts
from cncpanel.panel.kept import Kept, panel_keys
from cncpanel.panel.lettering import judge_marks, marks
from cncpanel.panel.necks import judge_necks
from cncpanel.panel.opening import openings
from cncpanel.panel.outline import panel_outline
from cncpanel.panel.panel import Hole, Mark, Opening, Panel, Recess
from cncpanel.panel.pocket import Pocket
from cncpanel.panel.rabbet import rabbets
from cncpanel.panel.recess import recesses
from cncpanel.panel.reverse import as_reverse, other_side, own_side, reverse_of, with_under
from cncpanel.panel.slots import judge_slots
from cncpanel.panel.subject import Subject
from cncpanel.panel.tab_free import spared
from cncpanel.panel.tops import judge_tops, topped
from cncpanel.panel.web import judge_rims, judge_webs


def resolve(read: ReadJob, gathering: Gathering, kept: Kept | None = None) -> tuple[Panel, ...]:
    """All panels of the job in its order; problems and warnings of every one go to `gathering`.

    Positions are the author's less the lower left of the panel's outline, so that it lies at the origin. A panel whose
    outline cannot be made is left out; the caller stops where there are problems. `kept` remembers panels from one
    reading to the next.
    """
    remembered = Kept() if kept is None else kept
    remembered.begun()
    made = (
        remembered.outcome(key, partial(_drafted, read, index), gathering)
        for index, key in enumerate(panel_keys(read) if kept else [None] * len(read.job.panel))
    )
    panels = tuple(panel for panel in made if panel is not None)
    judge_cleats(read, panels, gathering)
    return panels


def _drafted(read: ReadJob, index: int, gathering: Gathering) -> Panel | None:
    draft = draft_of(read, index, gathering)
    return None if draft is None else resolve_panel(draft, index)


def draft_of(read: ReadJob, index: int, gathering: Gathering) -> Draft | None:
    """The panel with its outline and nothing else; None when that cannot be made."""
    panel = read.job.panel[index]
    subject = Subject(
        read=read, gathering=gathering, keys=("panel", index), said=f'panel "{panel.name}"', name=panel.name
    )
    outline = panel_outline(panel, subject)
    if outline is None:
        return None
    stocks = {stock.name: stock for stock in read.job.stock}
    return Draft(
        panel=panel,
        stock=stocks[panel.stock],
        stocks=stocks,
        settings=read.job.settings,
        subject=subject.moved(outline.shift),
        outline=outline,
    )


def resolve_panel(draft: Draft, index: int) -> Panel:
    """One panel with what is cut from its other face; what is wrong with it goes to the draft's gathering."""
    panel = _side(replace(draft, panel=own_side(draft.panel)), index)
    turned = other_side(draft.panel)
    if turned is not None:
        reverse = as_reverse(_side(replace(draft, panel=turned), index))
        judge_webs(panel, reverse, draft)
        bare = reverse_of(panel)
        panel = replace(panel, reverse=replace(reverse, edges=bare.edges, later=bare.later))
    judge_rims(panel, draft)
    judge_slots(panel, draft)
    judge_hand(panel, draft)
    return panel


def _side(draft: Draft, index: int) -> Panel:
    """What is cut from the face that the draft's panel has up."""
    opened, bored, grids, marked = openings(draft), holes(draft), grilles(draft), marks(draft)
    pockets = _pockets(draft, bored)
    judge_depths(pockets, draft)
    cuts = list(_cuts(opened, bored, grids, pockets))
    judge_cuts(cuts, draft)
    judge_marks(marked, cuts, draft)
    judge_necks(opened, draft)
    floors = settled(pockets, draft)
    drilled = [(hole, found.subject) for found in bored for hole in found.holes]
    drilled += [(hole, grid.subject) for grid in grids for hole in grid.holes]
    made = topped([hole for hole, _ in drilled], floors)
    judge_tops([(hole, subject) for hole, (_, subject) in zip(made, drilled, strict=True)])
    return _panel(draft, index, opened, grids, marked, floors, made)


def _pockets(draft: Draft, bored: Sequence[Bored]) -> list[Pocket]:
    sunk = [found.counterbore for found in bored if found.counterbore is not None]
    return [*recesses(draft), *grooves(draft), *rabbets(draft), *sunk]


def _cuts(
    opened: Sequence[tuple[Opening, Subject]],
    bored: Sequence[Bored],
    grids: Sequence[Grid],
    pockets: Sequence[Pocket],
) -> Iterator[Cut]:
    """Every cut as the judge sees it."""
    for _, group in groupby(opened, key=lambda found: found[1].keys):
        contours, subjects = zip(*group, strict=True)
        bodies = tuple(Body(Region(opening.contour)) for opening in contours)
        yield Cut(subject=subjects[0], kind="through", bodies=bodies)
    for found in bored:
        bodies = tuple(Body(hole.centre, hole.diameter / 2) for hole in found.holes)
        yield Cut(subject=found.subject, kind="blind hole" if found.is_blind else "through", bodies=bodies)
    for grid in grids:
        yield Cut(subject=grid.subject, kind="through", bodies=grid.bodies)
    for pocket in pockets:
        yield Cut(subject=pocket.subject, kind="floor", bodies=tuple(map(Body, pocket.regions)))


def _panel(
    draft: Draft,
    index: int,
    opened: Sequence[tuple[Opening, Subject]],
    grids: Sequence[Grid],
    marked: Sequence[tuple[Mark, Subject]],
    floors: tuple[Recess, ...],
    all_holes: tuple[Hole, ...],
) -> Panel:
    rims = edges(draft, opened)
    panel = Panel(
        index=index,
        name=draft.panel.name,
        stock=draft.stock,
        face=draft.panel.face,
        copies=draft.panel.copies,
        mirrored=draft.panel.mirrored,
        turn=draft.panel.turn_on(draft.stock),
        outline=draft.contour,
        openings=(*(opening for opening, _ in opened), *(slot for grid in grids for slot in grid.slots)),
        recesses=floors,
        holes=all_holes,
        marks=tuple(mark for mark, _ in marked),
        grilles=tuple(grid.report for grid in grids),
        bench=rims.bench,
        edges=rims.edges,
        slots=rims.slots,
        rims=rims.drawn,
        machined=rims.machined,
        spared=spared(draft, [opening for opening, _ in opened], rims.drawn),
        place=draft.subject.place,
        drawn_at=draft.subject.shift,
    )
    return replace(panel, reverse=with_under(panel, rims.under)) if rims.under else panel
