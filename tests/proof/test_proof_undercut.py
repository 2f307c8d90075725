"""An undercutting tool: what it takes under the face, and the lifts that would tear the face off."""

from math import pi

import pytest
from removal_moves import arc, line

from cncpanel.proof.heightmap import HeightMap
from cncpanel.proof.tool_form import disc_form
from cncpanel.proof.undercut import bands, undercut_findings

FORM = disc_form(6.0, 3.0, 2.0)
IN = line((20.0, 20.0, 5.0), (20.0, 20.0, -8.0), 1)
ALONG = line((20.0, 20.0, -8.0), (60.0, 20.0, -8.0), 2)
BACK = line((60.0, 20.0, -8.0), (20.0, 20.0, -8.0), 3)
OUT = line((20.0, 20.0, -8.0), (20.0, 20.0, 5.0), 4)


def found(*moves):
    return list(undercut_findings(moves, FORM, HeightMap((80.0, 40.0), 18.0, 0.25)))


def test_in_by_its_own_hole_along_back_and_out_tears_nothing():
    assert [] == found(IN, ALONG, BACK, OUT)


def test_lifting_at_the_slots_end_is_told_with_what_lies_over_the_disc():
    lift = line((60.0, 20.0, -8.0), (60.0, 20.0, 5.0), 3)
    (told,) = found(IN, ALONG, lift)
    assert ("undercut-lift", "safety", 3, 60.0, 20.0) == (told.kind, told.severity, told.line, told.x, told.y)
    assert told.measure == pytest.approx(5.0)  # 8 deep, a disc of 3


def test_a_rapid_lift_is_told_too():
    lift = line((60.0, 20.0, -8.0), (60.0, 20.0, 5.0), 3)._replace(kind="rapid")
    assert ["undercut-lift"] == [told.kind for told in found(IN, ALONG, lift)]


def test_a_lift_beyond_the_sheets_edge_is_free():
    beyond = line((20.0, 20.0, -8.0), (95.0, 20.0, -8.0), 2)
    assert [] == found(IN, beyond, line((95.0, 20.0, -8.0), (95.0, 20.0, 5.0), 3))


def test_a_slant_is_told():
    assert ["undercut-slant"] == [told.kind for told in found(IN, line((20.0, 20.0, -8.0), (60.0, 20.0, -9.0), 2))]


def test_a_band_is_the_discs_way_between_two_depths():
    (band,) = bands([IN, ALONG], FORM, 0.0)
    assert (5.0, 8.0) == (band.top, band.bottom)
    assert band.shape.area == pytest.approx(40 * 12 + pi * 36, rel=1e-3)


def test_two_levels_and_an_arc_make_two_bands():
    turn = arc((60.0, 20.0, -4.0), (40.0, 20.0), pi)
    one, other = bands([turn, ALONG], FORM, 0.0)
    assert [(1.0, 4.0), (5.0, 8.0)] == [(one.top, one.bottom), (other.top, other.bottom)]
    assert one.shape.area == pytest.approx(pi * 20 * 12 + pi * 36, rel=2e-3)


def test_where_it_only_goes_in_the_band_is_its_disc():
    stay = line((30.0, 20.0, -8.0), (30.0, 20.0, -8.0))
    (band,) = bands([stay], FORM, 0.0)
    assert (5.0, 8.0) == (band.top, band.bottom)
    assert (24.0, 14.0, 36.0, 26.0) == pytest.approx(band.shape.bounds, abs=1e-3)
    assert band.shape.area == pytest.approx(pi * 36, rel=2e-3)


def test_rapids_slants_and_ways_over_the_top_leave_no_band():
    over = line((20.0, 20.0, 1.0), (60.0, 20.0, 1.0))
    slant = line((20.0, 20.0, -5.0), (60.0, 20.0, -6.0))
    assert () == bands([over, slant, ALONG._replace(kind="rapid")], FORM, 0.0)
