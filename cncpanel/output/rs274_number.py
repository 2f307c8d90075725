"""Numbers as a control reads them: whole counts of its last decimal, so that nothing is rounded twice."""

from dataclasses import dataclass
from math import floor

from cncpanel.machine.model import Dialect
from cncpanel.units import in_millimetres

FEED_DECIMALS = {"mm": 0, "inch": 1}  # whole mm/min; a tenth of an inch a minute is 2.5 mm/min
NEARLY = 1e-6  # of a feed's last decimal: a whole feed in binary may lie just under it


@dataclass(frozen=True, slots=True)
class Scale:
    """How many counts a millimetre has: 10 000 for mm with four decimals."""

    unit_mm: float
    decimals: int
    feed_decimals: int

    def count(self, length: float) -> int:
        """A length in whole counts, the nearest."""
        return round(length / self.unit_mm * 10.0**self.decimals)

    def length(self, count: int) -> float:
        """What a count means, in mm."""
        return count / 10.0**self.decimals * self.unit_mm

    def text(self, count: int) -> str:
        """A count with all its decimals: `12.5000`, never `-0.0000`, never an exponent."""
        return _decimal(count, self.decimals)

    def feed_count(self, feed: float) -> int:
        """A feed (mm/min) in its last decimals, rounded down so that no limit is passed, at least 1."""
        return max(floor(feed / self.unit_mm * 10.0**self.feed_decimals + NEARLY), 1)

    def feed_text(self, count: int) -> str:
        """The feed as written: `1200`, `47.2`."""
        return _decimal(count, self.feed_decimals).removesuffix(".0")


def scale_of(dialect: Dialect) -> Scale:
    """The scale of a machine's numbers."""
    return Scale(in_millimetres(dialect.unit), dialect.decimals, FEED_DECIMALS[dialect.unit])


def _decimal(count: int, decimals: int) -> str:
    digits = f"{abs(count):0{decimals + 1}d}"
    sign = "-" if count < 0 else ""
    return f"{sign}{digits[:-decimals]}.{digits[-decimals:]}" if decimals else f"{sign}{digits}"
