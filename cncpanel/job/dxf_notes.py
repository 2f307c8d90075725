"""What the reading of a DXF file says to the user: one voice that knows the file, the place and the unit."""

from dataclasses import dataclass

from cncpanel.errors import Gathering, Place
from cncpanel.geometry.point import Point

MOST = 20  # problems of one file; past that a list helps nobody


@dataclass(slots=True)
class Notes:
    """Problems and warnings about one file. `scale` is the mm that one drawing unit stands for."""

    file: str
    place: Place
    gathering: Gathering
    scale: float = 1.0
    problems: int = 0

    def problem(self, text: str, allowed: str = "") -> None:
        """A reason to refuse the file; after the twentieth only their number is kept."""
        self.problems += 1
        if self.problems <= MOST:
            self.gathering.problem(self.place, f"{self.file}: {text}", allowed)

    def warn(self, text: str, allowed: str = "") -> None:
        """Something to look at."""
        self.gathering.warn(self.place, f"{self.file}: {text}", allowed)

    def at(self, point: Point) -> str:
        """A place as the drawing program shows it: in the drawing's own unit."""
        return f"({_short(point.x / self.scale)}, {_short(point.y / self.scale)})"

    def close(self) -> bool:
        """Say how many problems were kept back; whether the file may be used."""
        if self.problems > MOST:
            self.gathering.problem(self.place, f"{self.file}: and {self.problems - MOST} more of the kind")
        return self.problems == 0


def _short(number: float) -> str:
    return f"{number:.3f}" if abs(number) < 1e7 else f"{number:.3g}"


def size_text(width: float, height: float) -> str:
    """`160 x 90`, with a decimal or more where they are needed."""
    return f"{_rounded(width)} x {_rounded(height)}"


def _rounded(number: float) -> str:
    return f"{number:.6g}" if abs(number) < 1 else f"{number:.1f}".removesuffix(".0")
