"""Where a panel wants no tabs: what its job names, rims that get a form, edges that film is wrapped round."""

from collections.abc import Iterator, Sequence

from cncpanel.geometry.contour import Contour
from cncpanel.job.model import TabFree
from cncpanel.panel.draft import Draft
from cncpanel.panel.edge import DrawnRim
from cncpanel.panel.panel import Opening
from cncpanel.panel.spared import Spared
from cncpanel.panel.stretch import spans
from cncpanel.panel.subject import Key


def spared(draft: Draft, opened: Sequence[Opening], drawn: Sequence[DrawnRim]) -> tuple[Spared, ...]:
    """Every such stretch; one of an unknown opening or corner is a problem."""
    return (*_formed(drawn), *_wrapped(draft), *_named(draft, opened))


def _formed(drawn: Sequence[DrawnRim]) -> Iterator[Spared]:
    for rim in drawn:
        span = None if rim.stretch is None else (rim.stretch.start, rim.stretch.stop)
        yield Spared(contour=rim.contour, span=span, why="form")


def _wrapped(draft: Draft) -> Iterator[Spared]:
    if any(film.wrap > 0 for film in draft.panel.artwork):
        yield Spared(contour=draft.contour, span=None, why="seen")


def _named(draft: Draft, opened: Sequence[Opening]) -> Iterator[Spared]:
    for number, free in enumerate(draft.panel.tab_free):

        def tell(text: str, allowed: str = "", *keys: Key, number: int = number) -> None:
            draft.subject.problem(text, allowed, "tab_free", number, *keys)

        rims = _rims(free, draft, opened)
        if free.opening is not None and not rims:
            known = (opening.name for opening in opened)
            draft.tell_no_opening(free.opening, known, "tab_free", number, "opening")
        for contour in rims:
            found = spans(free, contour, draft.outline, tell, draft)
            for span in [None] if found is None else found:
                yield Spared(contour=contour, span=span, why=free.why)


def _rims(free: TabFree, draft: Draft, opened: Sequence[Opening]) -> list[Contour]:
    if free.opening is None:
        return [draft.contour]
    return [opening.contour.counter_clockwise for opening in opened if opening.name == free.opening]
