"""Marks: a text as strokes where it is to be cut, so that it reads right on the face it is cut in."""

from collections.abc import Sequence

from cncpanel.geometry.contour import Path, Vertex
from cncpanel.geometry.nearness import Body, covered, depths_inside
from cncpanel.geometry.placement import Placement
from cncpanel.geometry.tolerance import PATH
from cncpanel.job import model
from cncpanel.job.letters import ADVANCE, HEIGHT, WIDTH
from cncpanel.panel.draft import Draft
from cncpanel.panel.judge import Cut
from cncpanel.panel.letters import letter
from cncpanel.panel.panel import Mark
from cncpanel.panel.subject import Subject

CHORD = 0.1  # mm; strokes are looked at this finely for what they run over


def marks(draft: Draft) -> tuple[tuple[Mark, Subject], ...]:
    """The panel's marks; on a back face the letters are mirrored within the text's own box."""
    back = draft.panel.face == "back"
    return tuple((_mark(mark, subject, back), subject) for mark, subject in draft.on_cut_face("mark", draft.panel.mark))


def _mark(mark: model.Mark, subject: Subject, back: bool) -> Mark:
    x, y = mark.at[0] - subject.shift.x, mark.at[1] - subject.shift.y
    place = Placement(x=x, y=y, angle_deg=mark.turn_deg)
    plain, mirrored = (
        tuple(place.path(stroke) for stroke in text_strokes(mark.text, mark.height, over)) for over in (back, not back)
    )
    return Mark(
        name=subject.name,
        strokes=plain,
        mirrored_strokes=mirrored,
        depth=mark.depth,
        tool=mark.tool,
        place=subject.place,
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
        worst = min((depth for depth, _ in depths), default=0.0)
        if worst < -PATH:
            subject.problem(
                f"its text reaches {subject.length(-worst)} beyond the rim", "a smaller height, or moved inward"
            )
        for cut in cuts:
            if any(covered(points, cut.bodies)):
                subject.warn(f"its text runs over {cut.subject.short}")
