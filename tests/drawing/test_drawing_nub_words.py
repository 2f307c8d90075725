"""What the set-up page says of nubs that have to be dressed."""

from cncpanel.drawing.holding import nub_words
from cncpanel.geometry.point import Point
from cncpanel.passes.run import Nub, Tab


def tab(part: str, feature: str, nub: Nub | None) -> Tab:
    return Tab(
        part=part, feature=feature, centre=Point(0, 0), along=Point(1, 0), width=8, top=-15, height=3, nub=nub
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
