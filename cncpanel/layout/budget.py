"""How long a search may go on: a count of steps, and seconds only as a cap that is then told."""

from collections.abc import Callable
from dataclasses import dataclass, field
from time import monotonic

Tell = Callable[[str], None]


def _never() -> bool:
    """Nobody stops it."""
    return False


def _silent(text: str) -> None:
    """Nobody listens."""


@dataclass(slots=True)
class Budget:
    """Steps of all stocks together. `taken` counts on; `capped` is whether the seconds ended it.

    `stopped` says that nobody waits for the answer any more.
    """

    steps: int = 0
    seed: int = 1
    seconds: float | None = None
    tell: Tell = _silent
    stopped: Callable[[], bool] = _never
    taken: int = 0
    capped: bool = False
    _started: float = field(default_factory=monotonic)

    def step(self) -> bool:
        """Take a step, if there is one left."""
        if self.taken >= self.steps or self.left == 0.0 or self.stopped():
            return False
        self.taken += 1
        return True

    @property
    def left(self) -> float | None:
        """Seconds left under the cap; None without one."""
        if self.seconds is None:
            return None
        left = max(0.0, self.seconds - (monotonic() - self._started))
        self.capped = self.capped or left == 0.0
        return left
