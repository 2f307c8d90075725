"""One panel on its way from the job's words to shapes."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol, TypeVar

from cncpanel.geometry.contour import Contour
from cncpanel.geometry.region import Region
from cncpanel.job import model
from cncpanel.panel.outline import Outline
from cncpanel.panel.subject import Key, Subject


class _Faced(Protocol):
    @property
    def name(self) -> str: ...
    @property
    def face(self) -> model.Face | None: ...


Feature = TypeVar("Feature", bound=_Faced)


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """What every feature of one panel needs to know."""

    panel: model.Panel
    stock: model.Stock
    stocks: Mapping[str, model.Stock]
    settings: model.Settings
    subject: Subject
    outline: Outline

    @property
    def contour(self) -> Contour:
        """The outline."""
        return self.outline.contour

    @property
    def whole(self) -> Region:
        """The panel before anything is cut out of it."""
        return Region(self.outline.contour)

    def tell_no_opening(self, name: str, known: Iterable[str], *keys: Key) -> None:
        """A problem where the job names an opening that it does not draw; one drawn wrongly is told by itself."""
        if name not in (opening.name for opening in self.panel.opening):
            allowed = ", ".join(dict.fromkeys(known)) or "it has none"
            self.subject.problem(f'no opening is named "{name}"', allowed, *keys)

    def on_cut_face(self, kind: str, features: Sequence[Feature]) -> Iterator[tuple[Feature, Subject]]:
        """The features cut from the panel's own face, each with its subject; the others are cut in another set-up."""
        for number, feature in enumerate(features):
            subject = self.subject.feature(kind, number, feature.name)
            if feature.face in (None, self.panel.face):
                yield feature, subject
