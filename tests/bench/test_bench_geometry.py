"""Exact offsets cost a small multiple of the raw kernel calls on the same chords."""

from collections.abc import Callable
from math import cos, pi, sin
from time import process_time
from typing import Any

import pyclipper
import pytest

from cncpanel.geometry.contour import circle, polygon
from cncpanel.geometry.offset import Offsetter, offset
from cncpanel.geometry.region import Region, region_of
from cncpanel.geometry.shape import rectangle
from cncpanel.geometry.tolerance import FLATTEN

SCALE = 2**18
PANEL = region_of(
    rectangle(0, 0, 400, 300, (10,) * 4),
    [rectangle(50, 50, 80, 60, (8,) * 4), rectangle(200, 50, 80, 60, (8,) * 4)],
)
POCKET = region_of(
    rectangle(0, 0, 400, 300, (10,) * 4), [circle((150, 150), 30), rectangle(220, 100, 60, 60, (5,) * 4)]
)
SPLINE = region_of(polygon([(50 * cos(i * pi / 1000), 30 * sin(i * pi / 1000)) for i in range(2000)]))


def raw(region: Region, distances: list[float]) -> list[Any]:
    """The chords, and what the kernel itself must do."""
    whole = [[(int(x * SCALE), int(y * SCALE)) for x, y in c.flattened(FLATTEN)] for c in region.contours]
    kernel = pyclipper.PyclipperOffset(2.0, FLATTEN * SCALE)
    for path in whole:
        kernel.AddPath(path, pyclipper.JT_ROUND, pyclipper.ET_CLOSEDPOLYGON)
    return [kernel.Execute(distance * SCALE) for distance in distances]


def least_time(work: Callable[[], object]) -> float:
    def once() -> float:
        start = process_time()
        work()
        return process_time() - start

    return min(once() for _ in range(7))


@pytest.mark.parametrize(("region", "most"), [(PANEL, 8.0), (SPLINE, 10.0)], ids=["panel", "two thousand lines"])
def test_one_offset(region: Region, most: float, tabled: Callable[..., None]) -> None:
    ratio = least_time(lambda: offset((region,), -3)) / least_time(lambda: raw(region, [-3]))
    tabled(f"offset of {len(region.contours[0].vertices)} segments / the raw kernel", ratio, limit=most)


def test_all_levels_of_a_pocket(tabled: Callable[..., None]) -> None:
    distances = [-(3 + 2.7 * i) for i in range(29)]
    ratio = least_time(lambda: list(Offsetter((POCKET,)).levels(3, 2.7))) / least_time(lambda: raw(POCKET, distances))
    tabled("all levels of a pocket / the raw kernel", ratio, limit=4.0)
