"""Where tabs go when their nubs would be in the way."""

from collections import Counter
from dataclasses import replace

import pytest
from passes_bench import STOCK, made, plan, shop_router, tool

from cncpanel.errors import Gathering
from cncpanel.geometry.contour import Contour, Vertex, polygon
from cncpanel.geometry.ring import ring_of
from cncpanel.job.model import Settings
from cncpanel.layout.layout import Part, Sheet
from cncpanel.operation.operation import PanelPlan, Profile
from cncpanel.panel.spared import Spared, Why
from cncpanel.passes.run import Tab
from cncpanel.passes.sheet import sheet_runs

BOX = polygon([(0, 0), (300, 0), (300, 200), (0, 200)])
SIDES = {"bottom": (0.0, 300.0), "right": (300.0, 500.0), "top": (500.0, 800.0), "left": (800.0, 1000.0)}


def spared(side: str, why: Why) -> Spared:
    return Spared(contour=BOX, span=SIDES[side], why=why)


def with_spared(*stretches: Spared, outline: Contour = BOX) -> PanelPlan:
    one = plan(0, outline)
    return replace(one, panel=replace(one.panel, spared=stretches))


def sides_of(tabs: tuple[Tab, ...], x: float = 100, y: float = 100) -> Counter[str]:
    """How many tabs stand on which side of a BOX that lies unturned at (x, y)."""
    found: Counter[str] = Counter()
    for tab in tabs:
        left, low = tab.centre.x - x, tab.centre.y - y
        places = {"bottom": low, "right": 300 - left, "top": 200 - low, "left": left}
        found[min(places, key=lambda side: abs(places[side]))] += 1
    return found


def test_a_panel_that_spares_nothing_has_tabs_on_all_sides() -> None:
    runs = made([(0, 100, 100)], [with_spared()])
    assert set(sides_of(runs.tabs)) == set(SIDES)
    assert {tab.nub for tab in runs.tabs} == {None}


@pytest.mark.parametrize("why", ["mates", "seen", "form"])
def test_no_tab_stands_on_two_sides_that_are_spared(why: Why) -> None:
    free = made([(0, 100, 100)], [with_spared()])
    runs = made([(0, 100, 100)], [with_spared(spared("left", why), spared("right", why))])
    assert set(sides_of(runs.tabs)) == {"bottom", "top"}
    assert {tab.nub for tab in runs.tabs} == {None}
    assert len(runs.tabs) >= 3
    assert sum(tab.grip for tab in runs.tabs) >= sum(tab.grip for tab in free.tabs) * 3 / len(free.tabs)


def test_a_form_is_given_up_before_a_joint() -> None:
    joints = [spared(side, "mates") for side in ("left", "right", "bottom")]
    runs = made([(0, 100, 100)], [with_spared(*joints, spared("top", "form"))])
    sides = sides_of(runs.tabs)
    assert sides["top"] >= 3
    assert {(tab.nub) for tab in runs.tabs} == {"form", "mates"}, "half of the rim is not left bare"
    assert sides["top"] > sum(sides.values()) - sides["top"]


def test_a_panel_that_spares_all_its_rim_is_held_as_if_it_spared_none() -> None:
    bare = made([(0, 100, 100)], [with_spared()])
    runs = made([(0, 100, 100)], [with_spared(Spared(contour=BOX, span=None, why="mates"))])
    assert {tab.nub for tab in runs.tabs} == {"mates"}
    assert runs.runs == bare.runs


def test_a_tab_across_a_shared_kerf_spares_the_neighbours_edge_too() -> None:
    runs = made([(0, 100, 100), (0, 406, 100)], [with_spared(spared("left", "mates"))])
    first = sides_of(tuple(tab for tab in runs.tabs if tab.part == "panel 0"))
    assert first["right"] == 0
    assert {tab.nub for tab in runs.tabs} == {None}


def test_a_turned_and_mirrored_copy_spares_its_own_edge() -> None:
    one = with_spared(spared("left", "mates"))
    lies = Part(panel=0, name="panel 0", copy=1, mirrored_copy=True, x=300, y=100, angle_deg=90)
    runs = sheet_runs(Sheet(number=1, stock=STOCK, parts=(lies,)), {0: one}, shop_router(), Settings(), Gathering())
    # mirrored, the spared side looks to +x; turned by a quarter, to +y
    ends = {round(tab.centre.y, 3) for tab in runs.tabs if abs(tab.along.x) > 0.5}
    assert ends == {100.0}, "its right side is the lower one now, its left side the upper"


def test_an_opening_holds_its_slug_in_its_wide_part_and_not_in_its_neck() -> None:
    outline = polygon([(0, 0), (500, 0), (500, 200), (0, 200)])
    keyhole = polygon([(30, 30), (170, 30), (170, 85), (440, 85), (440, 115), (170, 115), (170, 170), (30, 170)])
    opening = Profile(panel="panel 0", feature="key", side="inside", contour=keyhole, tool=tool(2))
    runs = made([(0, 100, 100)], [plan(0, outline, opening)])
    here = [tab for tab in runs.tabs if tab.feature == "key"]
    in_neck = [tab for tab in here if tab.centre.x > 100 + 170 + 20]
    assert len(here) >= 2
    assert {tab.nub for tab in in_neck} <= {"nook"}
    assert len(in_neck) < len(here) - len(in_neck)


def test_a_slot_without_a_hands_room_says_so() -> None:
    slot = polygon([(30, 80), (270, 80), (270, 112), (30, 112)])
    opening = Profile(panel="panel 0", feature="slot", side="inside", contour=slot, tool=tool())
    runs = made([(0, 100, 100)], [plan(0, BOX, opening)])
    assert {tab.nub for tab in runs.tabs if tab.feature == "slot"} == {"nook"}


@pytest.mark.parametrize(("r", "shape"), [(12, "flat"), (12, "sloped"), (40, "sloped")])
def test_tight_corners_between_spared_sides_are_no_better_than_the_sides_and_wide_ones_are(
    r: float, shape: str
) -> None:
    b, w, h = 0.41421356, 300 - r, 200 - r
    corners = [(r, 0, 0), (w, 0, b), (300, r, 0), (300, h, b), (w, 200, 0), (r, 200, b), (0, h, 0), (0, r, b)]
    rounded = Contour(tuple(Vertex(*corner) for corner in corners))
    straight = [segment for segment in ring_of(rounded).segments if not segment.is_arc]
    ring = ring_of(rounded)
    begins = [ring.nearest(segment.start)[0] for segment in straight]
    spared = [
        Spared(contour=rounded, span=(begin, begin + segment.length), why="seen")
        for begin, segment in zip(begins, straight, strict=True)
    ]
    runs = made(
        [(0, 100, 100)],
        [with_spared(*spared, outline=rounded)],
        settings=Settings.model_validate({"tab_shape": shape}),
    )
    assert len(runs.tabs) >= 3
    on_sides = [abs(tab.along.x) < 1e-6 or abs(tab.along.y) < 1e-6 for tab in runs.tabs]
    assert all(on_sides) == (r == 12)
