"""Laws of drawings: fractions come back, texts along a line keep apart and move no more than they must."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st
from print_samples import told

from cncpanel.drawing.dimension import Dimensioning
from cncpanel.drawing.spread import spread
from cncpanel.units import as_fraction, fraction_error, length

LENGTHS = st.floats(-5000, 5000, allow_nan=False)
SIXTY_FOURTH = 25.4 / 64


@given(LENGTHS)
def test_a_fraction_is_the_nearest_64th_and_its_error_is_what_is_left(millimetres: float) -> None:
    read = length(as_fraction(millimetres), "inch")
    error = fraction_error(millimetres)
    assert abs(error) <= SIXTY_FOURTH / 2 + 1e-9
    assert abs(read + error - millimetres) < 1e-9


@given(st.integers(0, 200 * 64))
def test_a_whole_number_of_64ths_has_no_error_and_comes_back(count: int) -> None:
    millimetres = count * SIXTY_FOURTH
    assert abs(fraction_error(millimetres)) < 1e-9
    assert abs(length(as_fraction(millimetres), "inch") - millimetres) < 1e-9


@given(LENGTHS)
def test_the_number_of_a_dimension_comes_back_within_its_last_decimal(millimetres: float) -> None:
    for unit, factor, off in (("mm", 1.0, 0.005), ("inch", 25.4, 0.0127), ("fraction", 25.4, 0.0127)):
        number = float(told(Dimensioning(unit).told(millimetres))) * factor
        assert abs(number - millimetres) <= off + 1e-9


@given(st.lists(st.floats(0, 100), min_size=1, max_size=30).map(sorted), st.floats(0.5, 5))
def test_spread_texts_keep_their_order_distance_and_ends(wanted: list[float], apart: float) -> None:
    low, high = -9.0, 109.0
    places = spread(wanted, apart, low, high)
    if places is None:
        assert (len(wanted) - 1) * apart > high - low
        return
    assert len(wanted) == len(places)
    assert all(b - a >= apart - 1e-9 for a, b in pairwise(places))
    assert low - 1e-9 <= places[0]
    assert places[-1] <= high + 1e-9


@given(st.lists(st.floats(0, 100), min_size=1, max_size=30).map(sorted))
def test_texts_with_room_stay_where_they_were(wanted: list[float]) -> None:
    apart = min((b - a for a, b in pairwise(wanted)), default=1.0)
    places = spread(wanted, apart, 0.0, 100.0)
    assert places is not None
    assert all(abs(a - b) < 1e-6 for a, b in zip(wanted, places, strict=True))
