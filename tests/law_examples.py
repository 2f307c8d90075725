"""How many examples a law tries: as many as the quick suite has time for, or that many times over in the long run.

And how long one may take.
"""

import os
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

TIMES = int(os.environ.get("CNCPANEL_LAWS", "1"))


def examples(quick: int) -> int:
    """`quick` examples in the quick suite; `.ci/laws` sets CNCPANEL_LAWS to multiply them."""
    return quick * TIMES


@contextmanager
def no_longer_than(seconds: int) -> Iterator[None]:
    """A hang becomes a failure."""

    def hung(_: int, __: FrameType | None) -> None:
        raise TimeoutError(f"no end after {seconds} s")

    before = signal.signal(signal.SIGALRM, hung)
    signal.alarm(seconds)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)
