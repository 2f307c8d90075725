"""A mistake in the user's input: its place, what is wrong, what is allowed."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where in the input: file, line (0 when unknown), key such as `panel[0].outline[3]`."""

    file: str
    line: int = 0
    key: str = ""

    def __str__(self) -> str:
        """`file:line: key`, leaving out what is not known."""
        head = f"{self.file}:{self.line}" if self.line else self.file
        return f"{head}: {self.key}" if self.key else head


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One mistake; a warning is told but stops nothing."""

    place: Place
    text: str
    allowed: str = ""
    warning: bool = False

    def __str__(self) -> str:
        """`file:line: key: what is wrong (what is allowed)`."""
        tail = f" ({self.allowed})" if self.allowed else ""
        return f"{self.place}: {'warning: ' if self.warning else ''}{self.text}{tail}"


class CncpanelError(Exception):
    """The root of what the user's input can raise."""


class ProblemsFound(CncpanelError):
    """One or more mistakes in the input, all that one run could find."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        """Keep the problems sorted by place."""
        self.problems = tuple(sorted(set(problems)))
        super().__init__("\n".join(map(str, self.problems)))


@dataclass(slots=True)
class Gathering:
    """Collects problems and warnings so that one run tells them all."""

    found: list[Problem] = field(default_factory=list)
    words: Callable[[str], str] = str  # how a text is told: as it is, or in another unit

    def problem(self, place: Place, text: str, allowed: str = "") -> None:
        """Note a mistake."""
        self.found.append(Problem(place, self.words(text), self.words(allowed)))

    def warn(self, place: Place, text: str, allowed: str = "") -> None:
        """Note something to look at that stops nothing."""
        self.found.append(Problem(place, self.words(text), self.words(allowed), warning=True))

    @property
    def problems(self) -> tuple[Problem, ...]:
        """The mistakes, without warnings."""
        return tuple(p for p in self.found if not p.warning)

    @property
    def warnings(self) -> tuple[Problem, ...]:
        """What was only warned of."""
        return tuple(p for p in self.found if p.warning)

    def stop_if_any(self) -> None:
        """Raise ProblemsFound with problems and warnings when there is at least one problem."""
        if self.problems:
            raise ProblemsFound(self.found)
