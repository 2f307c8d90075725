"""Kerf and trim in sums that were reckoned by hand for the demo console's panels, sawn from 2440 x 1220 boards.

Source: our own reckoning by hand, written down before the program: strip width sum + kerf x (n - 1) <= 1220 - 2 trim
and the same along the strip (common practice, no published source); a full blade takes 1/8 in (3.2 mm).
"""

from pathlib import Path

import pytest
from saw_samples import job_text, planned

A = (790.0, 572.0, 523.1, 242.8)
B = (834.0, 380.0, 202.0, 160.0, 140.0, 138.0, 100.0, 63.5)


@pytest.mark.parametrize(("lengths", "taken"), [(A, 2137.5), (B, 2039.9)])
def test_a_strips_pieces_take_their_lengths_and_a_kerf_between_two(
    tmp_path: Path, lengths: tuple[float, ...], taken: float
) -> None:
    sizes = [(length, 604.0) for length in lengths]
    (sheet,) = planned(tmp_path, job_text(sizes, "trim = 4", panel='turn = "along"')).sheets
    boxes = [part.box for part in sheet.parts]
    assert {round(box[1], 6) for box in boxes} == {4}
    assert 4 == pytest.approx(min(box[0] for box in boxes))
    assert taken == pytest.approx(max(box[2] for box in boxes) - min(box[0] for box in boxes))
    assert taken < 2440 - 2 * 5


def test_two_strips_of_604_fit_with_a_trim_of_4_and_not_of_5(tmp_path: Path) -> None:
    def sheets(width: float, trim: int) -> int:
        sizes = [(length, width) for length in (*A, *B)]
        return len(planned(tmp_path, job_text(sizes, f"trim = {trim}", panel='turn = "along"')).sheets)

    assert 604 + 3.2 + 604 == pytest.approx(1211.2)
    assert (1, 2, 1) == (sheets(604.0, 4), sheets(604.0, 5), sheets(603.0, 5))


def test_the_strips_lie_a_kerf_apart_inside_the_trim(tmp_path: Path) -> None:
    sizes = [(2000.0, 604.0), (2000.0, 604.0)]
    (sheet,) = planned(tmp_path, job_text(sizes, "trim = 4", panel='turn = "along"')).sheets
    low, high = sorted((part.box for part in sheet.parts), key=lambda box: box[1])
    assert [4, 608, 611.2, 1215.2] == pytest.approx([low[1], low[3], high[1], high[3]])
