"""What rims get: listed for the bench, or made by the machine, in the set-up in which their face lies up."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import radians, tan

from cncpanel.geometry.contour import Contour
from cncpanel.job.model import Edge as JobEdge
from cncpanel.job.model import Panel as JobPanel
from cncpanel.job.model import RimEdge
from cncpanel.panel.draft import Draft
from cncpanel.panel.edge import Bevel, DrawnRim, Edge, EdgeForm, RimSlot, Round, Slot, Stretch
from cncpanel.panel.panel import Opening
from cncpanel.panel.stretch import stretches
from cncpanel.panel.subject import Key, Subject
from cncpanel.panel.twice import Taken, asked_twice

_FACES = {"show": "on the show face", "back": "on the back face", "both": "on both faces"}


@dataclass(frozen=True, slots=True)
class Asked:
    """An edge of the job with the rims it is for: `keys` lead to it from `subject`."""

    edge: RimEdge
    subject: Subject
    keys: tuple[Key, ...]
    rims: tuple[Opening, ...]
    inside: bool
    name: str

    @property
    def rim(self) -> str | None:
        """The opening's name."""
        return self.rims[0].name if self.inside else None

    def problem(self, text: str, allowed: str = "", *more: Key) -> None:
        """Note a mistake of the edge."""
        self.subject.problem(text, allowed, *self.keys, *more)


@dataclass(frozen=True, slots=True)
class Rims:
    """What a panel's rims get: sentences for the bench and for the machine, the machine's edges, what drawings show.

    `edges` are those of the face that lies up, `under` those of the other, `slots` between them.
    """

    bench: tuple[str, ...]
    machined: tuple[str, ...]
    edges: tuple[Edge, ...]
    under: tuple[Edge, ...]
    drawn: tuple[DrawnRim, ...]
    slots: tuple[RimSlot, ...]


def edges(draft: Draft, opened: Sequence[tuple[Opening, Subject]]) -> Rims:
    """Every edge of the job."""
    bench: list[str] = []
    machined: list[str] = []
    made: list[Edge] = []
    under: list[Edge] = []
    drawn: list[DrawnRim] = []
    slots: list[RimSlot] = []
    taken: list[Taken] = []
    tables: list[Asked] = []
    for asked in _asked(draft, opened):
        tables.append(asked)
        edge, up = asked.edge, draft.panel.face
        form = _form(asked, draft)
        found = list(_resolved(asked, form.width if form is not None else 0.0, draft))
        drawn += [_drawn(asked, form, contour, stretch) for contour, _, stretch in found]
        along = where(edge, draft.subject, asked.rim)
        if edge.by_hand:
            bench.append(sentence(edge, draft.subject, along))
            continue
        machined.append(sentence(edge, draft.subject, along, by_machine=True))
        if form is None:
            slots += [_slot(asked, draft, *one) for one in found]
            continue
        both = [_edge(asked, form, *one) for one in found]
        taken += [Taken(one, edge.faces, len(tables) - 1) for one in both]
        made += both if edge.faces in (up, "both") else []
        under += both if edge.faces != up else []
    _tell_twice(taken, tables)
    return Rims(tuple(bench), tuple(machined), tuple(made), tuple(under), tuple(drawn), tuple(slots))


def _tell_twice(taken: Sequence[Taken], tables: Sequence[Asked]) -> None:
    for first, second, same in asked_twice(taken):
        asked, where = tables[second.table], f"{first.edge.told}, line {first.edge.place.line},"
        if same:
            asked.problem(f"{where} asks for the same on the same rim", "one edge table for a stretch")
        else:
            asked.subject.warn(f"{where} takes the same rim too: both are cut", "one form for a stretch", *asked.keys)


def _asked(draft: Draft, opened: Sequence[tuple[Opening, Subject]]) -> Iterator[Asked]:
    """The panel's own edges, then those of each opening; one that names no opening there is a problem."""
    for number, edge in enumerate(draft.panel.edge):
        keys, name = ("edge", number), f"edge {number + 1}"
        rims = tuple(opening for opening, _ in opened if opening.name == edge.opening)
        if edge.opening is not None and not rims:
            draft.tell_no_opening(edge.opening, (opening.name for opening, _ in opened), *keys, "opening")
            continue
        yield Asked(edge, draft.subject, keys, rims, edge.opening is not None, name)
    for number, feature in enumerate(draft.panel.opening):
        own = [(rim, subject) for rim, subject in opened if subject.keys[-2:] == ("opening", number)]
        for n, rim_edge in enumerate(feature.edge):
            if own:
                subject = own[0][1]
                name = f"edge {n + 1} of {subject.name}"
                yield Asked(rim_edge, subject, ("edge", n), tuple(rim for rim, _ in own), True, name)


def by_hand(panel: JobPanel, subject: Subject) -> tuple[str, ...]:
    """A sentence for each rim of a panel of which no machine makes any; the panel's own, then its openings'."""
    found = [sentence(edge, subject, where(edge, subject, edge.opening)) for edge in panel.edge]
    for number, opening in enumerate(panel.opening):
        rim = opening.name or f"opening {number + 1}"
        found += [sentence(edge, subject, where(edge, subject, rim)) for edge in opening.edge]
    return tuple(found)


def where(edge: RimEdge, subject: Subject, rim: str | None) -> str:
    """`all edges`, `top edge`, `edge from A to B`, `all edges of vents`; `rim` names the opening, None the outline."""
    along = "all edges"
    if edge.side is not None:
        along = f"{edge.side} edge"
    if isinstance(edge, JobEdge) and edge.edges is not None:
        along = f"outline's edge {', '.join(map(str, edge.edges))}"
    if isinstance(edge, JobEdge) and edge.between is not None:
        along = f"edge from {edge.between[0]} to {edge.between[1]}"
    if rim is not None:
        along += f" of {rim}"
    if edge.stop is not None:
        return f"{along}, {subject.written(edge.start)} to {subject.written(edge.stop)} along it"
    return f"{along}, from {subject.written(edge.start)} on" if edge.start else along


def sentence(edge: RimEdge, subject: Subject, along: str, *, by_machine: bool = False) -> str:
    """What is to be done to the rim, and where; by hand a slot's cutter is named too."""
    if edge.t_slot is None:
        return f"{along}: {_form_words(edge, subject)} {_FACES[edge.faces]}"
    slot = edge.t_slot
    middle = f"its middle {subject.written(slot.middle)} under the show face" if slot.middle else "in mid-thickness"
    what = f"slot {subject.written(slot.width)} wide, {subject.written(slot.depth)} deep for T-moulding, {middle}"
    how = "" if by_machine else ": slot cutter on a bearing or in a router table, fence against the show face"
    return f"{along}: {what}{how}"


def _form_words(edge: RimEdge, subject: Subject) -> str:
    if edge.round is not None:
        return f"round {subject.written(edge.round)}"
    size = ""
    if edge.width is not None:
        size = f", {subject.written(edge.width)} wide"
    elif edge.depth is not None:
        size = f", {subject.written(edge.depth)} deep"
    return f"bevel {edge.bevel_deg:g} deg{size}"


def _form(asked: Asked, draft: Draft) -> EdgeForm | None:
    """The form, judged against the board: both faces share its thickness. None for a slot, or where it cannot be."""
    edge = asked.edge
    room = draft.stock.thinnest / (2 if edge.faces == "both" else 1)
    if edge.t_slot is not None:
        _judge_slot(asked, draft)
        return None
    if edge.round is not None:
        form: EdgeForm = Round(edge.round)
        _judge_depth(asked, f"rounding {draft.subject.length(edge.round)}", edge.round, room, "round")
        return form
    angle = edge.bevel_deg or 0.0
    if edge.width is not None:
        form = Bevel(edge.width / tan(radians(angle)), angle)
        said = (
            f"a bevel {draft.subject.length(edge.width)} wide goes {draft.subject.length(round(form.depth, 3))} deep,"
        )
        _judge_depth(asked, f"{said} which", form.depth, room, "width")
        return form
    if edge.depth is not None:
        _judge_depth(asked, f"a bevel {draft.subject.length(edge.depth)} deep", edge.depth, room, "depth")
        return Bevel(edge.depth, angle)
    return Bevel(draft.stock.thickest, angle)


def _judge_depth(asked: Asked, said: str, depth: float, room: float, key: str) -> None:
    if depth > room + 1e-9:
        subject = asked.subject
        text = f"{said} is more than the board has room for {_FACES[asked.edge.faces]}"
        asked.problem(text, f"at most {subject.length(room)}", key)


def _judge_slot(asked: Asked, draft: Draft) -> None:
    slot, thinnest, subject = asked.edge.t_slot, draft.stock.thinnest, asked.subject
    assert slot is not None
    middle = slot.middle if slot.middle is not None else thinnest / 2
    least = min(middle, thinnest - middle) - slot.width / 2
    if least <= 0:
        text = f"a slot {subject.length(slot.width)} wide leaves no board beside it"
        asked.problem(text, f"the board is {subject.length(thinnest)} thick", "t_slot")


def _resolved(asked: Asked, width: float, draft: Draft) -> Iterator[tuple[Contour, str, Stretch | None]]:
    """Each of the edge's rims with its name, and the stretches along it."""
    for contour, rim in _contours(asked, draft):
        for stretch in stretches(asked.edge, contour, asked.inside, width, draft.outline, asked.problem, draft):
            yield contour, rim, stretch


def _drawn(asked: Asked, form: EdgeForm | None, contour: Contour, stretch: Stretch | None) -> DrawnRim:
    slot = asked.edge.t_slot
    shape: EdgeForm | Slot | None = form if slot is None else Slot(slot.width, slot.depth, slot.middle)
    assert shape is not None, "an edge without a form is a slot"
    faces, by_hand = asked.edge.faces, asked.edge.by_hand
    return DrawnRim(inside=asked.inside, contour=contour, form=shape, stretch=stretch, faces=faces, bench=by_hand)


def _contours(asked: Asked, draft: Draft) -> list[tuple[Contour, str]]:
    if not asked.inside:
        return [(draft.contour, "outline")]
    return [(rim.contour.counter_clockwise, rim.name) for rim in asked.rims]


def _edge(asked: Asked, form: EdgeForm, contour: Contour, rim: str, stretch: Stretch | None) -> Edge:
    return Edge(
        name=asked.name,
        rim=rim,
        inside=asked.inside,
        contour=contour,
        form=form,
        stretch=stretch,
        tool=asked.edge.tool,
        place=asked.subject.read.file.place((*asked.subject.keys, *asked.keys)),
    )


def _slot(asked: Asked, draft: Draft, contour: Contour, rim: str, stretch: Stretch | None) -> RimSlot:
    """Of a board as thick as its readings on the mean: half of what they differ by lies on either side."""
    asked_for, stock = asked.edge.t_slot, draft.stock
    assert asked_for is not None, "only a slot is one"
    form = Slot(asked_for.width, asked_for.depth, asked_for.middle)
    thickness = (stock.thinnest + stock.thickest) / 2
    from_show = form.under_show_face(thickness)
    return RimSlot(
        name=asked.name,
        rim=rim,
        inside=asked.inside,
        contour=contour,
        form=form,
        top=from_show if draft.panel.face == "show" else thickness - from_show - form.width,
        stretch=stretch,
        tool=asked.edge.tool,
        place=asked.subject.read.file.place((*asked.subject.keys, *asked.keys)),
    )
