"""What can be sawn at all: which rips run on the fence, how narrow and how wide, and what a stop must do."""

from collections.abc import Sequence
from dataclasses import dataclass

from cncpanel.job.model import Saw
from cncpanel.layout.saw.plan import Guide

SAME = 1e-6  # mm; sums of lengths that differ by less are one length


@dataclass(frozen=True, slots=True)
class Rules:
    """The saw's limits, asked of widths (mm) across the blade's way."""

    saw: Saw

    def guide(self, run: float, setting: float) -> Guide:
        """The fence where the edge there is long enough and longer than it is far from the blade; else the gauge.

        Beyond the fence's reach the gauge too, or a sliding table, where the job says how far that crosses.
        """
        across = self.saw.longest_crosscut
        if setting > self.saw.widest_rip + SAME and across is not None and run <= across + SAME:
            return "stop"
        return "fence" if run >= self.saw.fence_edge - SAME and run >= setting - SAME else "stop"

    def crosses(self, width: float) -> bool:
        """Whether the gauge takes a strip so wide."""
        return self.saw.longest_crosscut is None or width <= self.saw.longest_crosscut + SAME

    def rip(self, run: float, setting: float) -> bool:
        """Whether this much can be set between guide and blade on a piece whose edge there is `run` long."""
        if self.guide(run, setting) == "stop":
            return self.crosses(run)
        return self.saw.safe_strip - SAME <= setting <= self.saw.widest_rip + SAME

    def rips(self, total: float, widths: Sequence[float], run: float, trim: float) -> "Rips | None":
        """How a piece `total` wide comes apart into `widths` (largest first); None where that cannot be sawn.

        `trim` comes off both its edges first; `run` is its length. Widths too narrow for the fence fall off beyond
        the blade, from the far edge, with a wider rest or the last wide strip on the fence.
        """
        wide = [w for w in widths if self.rip(run, w)]
        narrow = widths[len(wide) :]
        if any(not self.rip(run, w) for w in widths[: len(wide)]):
            return None
        if sum(w + self.saw.kerf for w in widths) > total - 2 * trim + self.saw.kerf + SAME:
            return None
        if wide and trim and not self.rip(run, wide[0] + trim):
            return None
        return self._carried(total, wide, narrow, run, trim) if narrow else Rips(tuple(wide), (), False)

    def _carried(
        self, total: float, wide: Sequence[float], narrow: Sequence[float], run: float, trim: float
    ) -> "Rips | None":
        """The narrow ones off the far edge; what stays on the fence is the rest, or the last wide strip."""
        kerf = self.saw.kerf
        taken = sum(w + kerf for w in narrow) + trim
        before = sum(w + kerf for w in wide) + (trim if wide else 0.0)
        rest = total - before
        for carrier in (False, True):
            if carrier and (len(wide) < 2 if trim else not wide):
                continue
            on_fence = rest + (wide[-1] + kerf if carrier else 0.0)
            settings = [*([on_fence - trim] if trim else []), *self._falling(on_fence - trim, narrow)]
            fits = on_fence - taken >= (wide[-1] if carrier else 0.0) - SAME
            if fits and all(self.rip(run, s) for s in settings):
                return Rips(tuple(wide), tuple(narrow), carrier)
        return None

    def _falling(self, start: float, narrow: Sequence[float]) -> list[float]:
        """The settings at which each narrow strip falls off."""
        settings = []
        for width in narrow:
            start -= width + self.saw.kerf
            settings.append(start)
        return settings


@dataclass(frozen=True, slots=True)
class Rips:
    """Wide strips off the near edge in this order, then narrow ones off the far edge.

    `carrier`: the last wide strip stays on the fence until the narrow ones are off.
    """

    wide: tuple[float, ...]
    narrow: tuple[float, ...]
    carrier: bool
