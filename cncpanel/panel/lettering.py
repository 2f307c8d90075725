"""Marks: a text as strokes where it is to be cut, so that it reads right on the face it is cut in."""

from collections.abc import Sequence
from math import inf

from cncpanel.geometry.contour import Path, Vertex
from cncpanel.geometry.nearness import Body, covered, depths_inside
from cncpanel.geometry.placement import Placement
from cncpanel.geometry.tolerance import PATH
from cncpanel.job import model
from cncpanel.job.letters import ADVANCE, HEIGHT, STROKES, WIDTH, mark_text
from cncpanel.panel.draft import Draft
from cncpanel.panel.judge import Cut
from cncpanel.panel.letters import letter
from cncpanel.panel.panel import Mark
from cncpanel.panel.subject import Subject

CHORD = 0.1  # mm; strokes are looked at this finely for what they run over
LEAST_IN = 1.0  # mm from a stroke to the rim; nearer, half its width breaks out (common practice, no source)


def marks(draft: Draft) -> tuple[tuple[Mark, Subject], ...]:
    """The panel's marks; on a back face the letters are mirrored within the text's own box."""
    back = draft.panel.face == "back"
    return tuple(
        (_mark(mark, draft.panel.name, subject, back), subject)
        for mark, subject in draft.on_cut_face("mark", draft.panel.mark)
    )


def _mark(mark: model.Mark, panel: str, subject: Subject, back: bool) -> Mark:
    text = "" if mark.at is None else _letters(mark_text(mark.text, panel), subject)
    places = [
        Placement(x=x - subject.shift.x, y=y - subject.shift.y, angle_deg=mark.turn_deg)
        for x, y in (mark.centres if mark.at is None else (mark.at,))
    ]
    plain, mirrored = (
        tuple(
            place.path(stroke)
            for place in places
            for stroke in (_cross(mark.height) if mark.at is None else text_strokes(text, mark.height, over))
        )
        for over in (back, not back)
    )
    return Mark(
        name=subject.name,
        strokes=plain,
        mirrored_strokes=mirrored,
        depth=mark.depth,
        tool=mark.tool,
        place=subject.place,
    )


def _letters(text: str, subject: Subject) -> str:
    """The text; nothing where a panel's name has what the letters lack, which is told."""
    unknown = sorted({character for character in text if character.upper() not in STROKES})
    if not unknown:
        if not any(STROKES[character.upper()] for character in text):
            subject.problem("its text is blank: there is nothing to cut", "letters: A-Z, 0-9, - _ .")
        return text
    told = f"the panel's name has {' '.join(unknown)}, which the letters lack"
    subject.problem(told, "a text of its own: A-Z, 0-9, - _ .")
    return ""


def _cross(size: float) -> tuple[Path, ...]:
    """The same in a mirror."""
    half = size / 2
    return (
        Path((Vertex(0.0 - half, 0.0), Vertex(half, 0.0))),
        Path((Vertex(0.0, 0.0 - half), Vertex(0.0, half))),
    )


def text_strokes(text: str, height: float, mirrored: bool) -> tuple[Path, ...]:
    """The text's strokes, capital height `height`, lower left of its box at the origin; `mirrored` left to right."""
    scale, width = height / HEIGHT, text_width(text, height)
    placed = Placement(x=width if mirrored else 0.0, mirrored=mirrored)
    return tuple(
        placed.path(_scaled(stroke, scale, number * ADVANCE))
        for number, character in enumerate(text)
        for stroke in letter(character)
    )


def text_width(text: str, height: float) -> float:
    """How long the text's box is."""
    return ((len(text) - 1) * ADVANCE + WIDTH) * height / HEIGHT


def _scaled(stroke: Path, scale: float, shift: float) -> Path:
    return Path(tuple(Vertex((v.x + shift) * scale, v.y * scale, v.bulge) for v in stroke.vertices))


def judge_marks(marked: Sequence[tuple[Mark, Subject]], cuts: Sequence[Cut], draft: Draft) -> None:
    """Tell marks that leave the panel, and warn of those that run over a cut and cannot be read there."""
    for mark, subject in marked:
        points = [p for stroke in mark.strokes for s in stroke.segments for p in (*s.flattened(CHORD), s.end)]
        depths = depths_inside([Body(point) for point in points], draft.whole)
        worst = min((depth for depth, _ in depths), default=inf)
        if worst < -PATH:
            subject.problem(
                f"its text reaches {subject.length(-worst)} beyond the rim", "a smaller height, or moved inward"
            )
        elif worst < LEAST_IN - PATH:
            subject.problem(
                f"its text lies {subject.length(max(worst, 0.0))} from the rim, where its strokes break out",
                f"at least {subject.length(LEAST_IN)}: a smaller height, or moved inward",
            )
        for cut in cuts:
            if any(covered(points, cut.bodies)):
                subject.warn(f"its text runs over {cut.subject.short}")
