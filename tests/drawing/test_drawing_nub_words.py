"""What the set-up page says of nubs that have to be dressed."""

from cncpanel.drawing.holding import nub_words, slope_words
from cncpanel.drawing.measures import Measures
from cncpanel.geometry.point import Point
from cncpanel.passes.run import Nub, Tab


def tab(part: str, feature: str, nub: Nub | None = None, flank_deg: float | None = None) -> Tab:
    return Tab(
        part=part, feature=feature, centre=Point(0, 0), along=Point(1, 0), width=8, top=-15, height=3, nub=nub,
        flank_deg=flank_deg
    )  # fmt: skip


def test_nubs_are_told_by_what_they_are_in_the_way_of_and_on_which_parts() -> None:
    tabs = (
        tab("lid", "outline", None),
        tab("lid", "outline", "mates"),
        tab("base", "outline", "mates"),
        tab("lid", "window", "nook"),
    )
    assert list(nub_words(tabs)) == [
        "2 of them stand on edges that meet another panel: pare them until a straightedge lies on, or the joint stays "
        "open (base, lid).",
        "1 of them stands where less than a hand's room is beside them: a narrow chisel along the wall, then a file "
        "(lid, window).",
    ]


def test_nubs_in_nobodys_way_are_not_told() -> None:
    assert list(nub_words((tab("lid", "outline", None),))) == []


def test_slopes_are_told_with_their_length_and_which_tabs_have_none() -> None:
    tabs = (tab("lid", "outline", flank_deg=5.0), tab("lid", "outline", flank_deg=5.0), tab("lid", "outline"))
    assert list(slope_words(tabs, Measures("mm", "mm"))) == [
        "2 of them slope off at 5 degrees over 34.3 mm at both ends, down to the underside: cut the slopes too. "
        "The other 1 ends upright: the wall is not straight for so long."
    ]
    assert list(slope_words(tabs[2:], Measures("mm", "mm"))) == []
    assert list(slope_words(tabs[:2], Measures("mm", "mm"))) == [
        "They slope off at 5 degrees over 34.3 mm at both ends, down to the underside: cut the slopes too."
    ]
