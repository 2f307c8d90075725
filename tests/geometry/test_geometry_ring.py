"""Stretches of a ring: by their lengths, and as the segments themselves where all of one is asked for."""

import pytest

from cncpanel.geometry.contour import Contour, Vertex
from cncpanel.geometry.ring import ring_of

# a slot with ends of 1.1 and 0.7 of a quarter's bulge: numbers that no half of them brings back exactly
SLOT = Contour((Vertex(0.3, 0.1), Vertex(70.7, 0.1, 0.4556), Vertex(70.7, 31.3), Vertex(0.3, 31.3, 0.2899)))


def test_all_of_a_ring_is_its_segments_themselves() -> None:
    ring = ring_of(SLOT)
    assert list(ring.segments) == ring.stretch(0.0, ring.length)


@pytest.mark.parametrize(("first", "length"), [(0.0, 10.0), (60.0, 40.0), (150.0, 90.0), (33.3, 500.0)])
def test_a_stretch_is_as_long_as_asked_and_begins_and_ends_where_asked(first: float, length: float) -> None:
    ring = ring_of(SLOT)
    chain = ring.stretch(first, first + length)
    assert sum(segment.length for segment in chain) == pytest.approx(length, abs=1e-3)
    assert chain[0].start.distance(ring.point(first)) < 1e-6
    assert chain[-1].end.distance(ring.point(first + length)) < 1e-6
