"""Places where a bar would lie across a third part's kerf: its tool would rise there and leave wood on its wall."""

from collections.abc import Mapping, Sequence

from cncpanel.geometry.covers import Covers
from cncpanel.passes.spot import Spot
from cncpanel.passes.waste import Kerf

TOUCH = 0.05  # mm that a bar may seem to reach into a kerf: chords decide no finer


class Crossed:
    """The kerfs of a sheet; `numbers` tells which piece each part is."""

    def __init__(self, kerfs: Sequence[Kerf], numbers: Mapping[str, int]) -> None:
        """A kerf of a part that is no piece by itself is anybody's."""
        self._kerfs, self._numbers = tuple(kerfs), numbers
        self._covers = Covers([kerf.area for kerf in kerfs])

    def clear(self, found: Sequence[Spot]) -> list[Spot]:
        """Those of one wall's places whose bars cross no kerf but their own and that of the piece beyond."""
        crossing = {
            spot
            for spot, kerf in self._covers.under([spot.bar.corners for spot in found], TOUCH)
            if self._is_third(found[spot], self._kerfs[kerf])
        }
        return [spot for number, spot in enumerate(found) if number not in crossing]

    def _is_third(self, spot: Spot, kerf: Kerf) -> bool:
        number = self._numbers.get(kerf.part)
        return kerf.part != spot.wall.part and number is not None and number not in (spot.own, spot.other)
