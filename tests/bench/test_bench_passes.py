"""Clearing pockets: a small multiple of a committed list of raw offset calls."""

import json
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pyclipper
import pytest

from cncpanel.geometry.contour import Contour, Vertex
from cncpanel.geometry.flatten import ring
from cncpanel.geometry.offset import Offsetter
from cncpanel.geometry.region import Region
from cncpanel.geometry.tolerance import FLATTEN
from cncpanel.operation.operation import Clear
from cncpanel.passes.clear import clear
from cncpanel.passes.draft import Draft, Title
from cncpanel.passes.shop import Shop

SCALE = 2.0**18

Paths = list[list[list[int]]]
Chain = tuple[float, ...]


class Pocket:
    """A pocket of the demo console, and the distances (mm) by which its room must be offset to clear it.

    Each call is a chain: the room offset by the first, what comes out by the second, and so on.
    """

    def __init__(self, entry: dict[str, Any], shop: Shop) -> None:
        tool = next(tool for tool in shop.machine.tool if tool.number == entry["tool"])
        regions = [_region(entry[name]) for name in ("region", "room")]
        self.name, self.shop, self.title = entry["pocket"], shop, Title("recess", "pocket", "pocket", tool)
        self.calls: list[Chain] = [tuple(chain) for chain in entry["calls"]]
        self.operation = Clear(
            panel="p", feature="f", region=regions[0], open_region=regions[1], depth=entry["depth"], tool=tool
        )
        self._paths: dict[Chain, Paths] = {}
        for before in {chain[:-1] for chain in self.calls}:
            there = (regions[1],)
            for distance in before:
                there = Offsetter(there).at(distance)
            rings = [ring(contour) for region in there for contour in region.contours]
            self._paths[before] = [np.rint(points * SCALE).astype(np.int64).tolist() for points in rings]

    def cleared(self) -> tuple[Draft, ...]:
        return clear(self.operation, self.title, self.shop)

    def raw(self) -> None:
        """The calls alone; what they are asked of is flattened beforehand."""
        kernels: dict[Chain, Any] = {}
        for chain in self.calls:
            before = chain[:-1]
            if before not in kernels:
                kernels[before] = kernel = pyclipper.PyclipperOffset(2.0, FLATTEN * SCALE / 2)
                for path in self._paths[before]:
                    kernel.AddPath(path, pyclipper.JT_ROUND, pyclipper.ET_CLOSEDPOLYGON)
            kernels[before].Execute2(chain[-1] * SCALE)


def _region(contours: list[list[list[float]]]) -> Region:
    outer, *holes = (Contour(tuple(Vertex(*vertex) for vertex in contour)) for contour in contours)
    return Region(outer, tuple(holes))


@pytest.fixture(scope="session")
def pockets(millrace: Any) -> list[Pocket]:
    """Every pocket of the console that differs from the others in more than its place."""
    shop = Shop(millrace.machine, millrace.layout.sheets[0].stock, millrace.read.job.settings)
    return [Pocket(entry, shop) for entry in json.loads(Path(__file__).with_name("clearing_offsets.json").read_text())]


@pytest.mark.benchmark(timer=time.process_time)
def test_clearing_against_the_offsets_it_needs(pockets: list[Pocket], race: Callable[..., float]) -> None:
    """Every pocket once, none of them shared; all depths, entries, feeds and the finish along the walls."""
    assert len(pockets) > 10
    race(
        "clearing 11 pockets / the committed list of raw offset calls",
        lambda: [pocket.cleared() for pocket in pockets],
        lambda: [pocket.raw() for pocket in pockets],
        limit=10,
    )


def test_the_committed_list_holds_nothing_that_clearing_does_not_ask(
    pockets: list[Pocket], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A longer list would make a weaker baseline."""
    asked: list[float] = []
    at = Offsetter._offset
    monkeypatch.setattr(Offsetter, "_offset", lambda self, by: (asked.append(by), at(self, by))[1])
    for pocket in pockets:
        asked.clear()
        assert pocket.cleared()
        assert len(pocket.calls) <= len(asked), pocket.name
        assert {round(chain[-1], 3) for chain in pocket.calls} <= {round(by, 3) for by in asked}, pocket.name
        assert len(set(pocket.calls)) == len(pocket.calls)
