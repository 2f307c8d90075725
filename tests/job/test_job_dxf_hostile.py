"""Files that are no drawing, or a damaged one: one clear problem each, never a traceback."""

import random
from math import cos, pi, sin
from pathlib import Path

import ezdxf
import pytest
from dxf_drawn import box, drawn, read
from ezdxf.math import BSpline

from cncpanel.job import dxf

HEAD = "0\nSECTION\n2\nENTITIES\n"
TAIL = "0\nENDSEC\n0\nEOF\n"


def written(folder: Path, text: str | bytes) -> Path:
    path = folder / "hostile.dxf"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def line(*numbers: object) -> str:
    x, y, end_x, end_y = numbers
    return f"0\nLINE\n8\n0\n10\n{x}\n20\n{y}\n11\n{end_x}\n21\n{end_y}\n"


def test_a_missing_file_says_where_it_was_looked_for(tmp_path: Path) -> None:
    path = tmp_path / "none.dxf"
    assert read(path).problems == [f"there is no such file (looked for {path})"]


def test_a_folder_is_not_a_file(tmp_path: Path) -> None:
    folder = tmp_path / "folder.dxf"
    folder.mkdir()
    assert read(folder).problems == ["is not a file"]


def test_a_link_to_a_file_elsewhere_is_followed(tmp_path: Path) -> None:
    assert drawn(tmp_path, lambda s: box(s, 0, 0, 50, 50)).only
    link = tmp_path / "deep" / "link.dxf"
    link.parent.mkdir()
    link.symlink_to(tmp_path / "drawn.dxf")
    assert read(link).only.outer.area == pytest.approx(2500)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "is empty"),
        (b" \n\n", "is empty"),
        (b"AC1027\0\0\0", "is a DWG file, not a DXF file (save it as DXF, version R2000 or later)"),
        (bytes(range(256)) * 40, "is not a DXF file"),
        (b"%PDF-1.7 hello", "is not a DXF file"),
        (
            b"0\nSECTION\n2\nENTITIES\n0\nLINE\n",
            "ends before its end mark: the file is cut short (save or copy it again)",
        ),
    ],
)
def test_what_is_no_drawing_is_named(tmp_path: Path, content: bytes, said: str) -> None:
    assert read(written(tmp_path, content)).problems == [said]


def test_a_file_too_large_is_not_opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(dxf, "MOST_BYTES", 2**20)
    path = written(tmp_path, b"0" * (2**20 + 1))
    assert read(path).problems == ["is larger than 1 MB (save only the outlines)"]


def test_a_million_entities_are_refused_before_they_are_parsed(tmp_path: Path) -> None:
    path = written(tmp_path, HEAD + "0\nLINE\n8\n0\n" * 1_000_000 + TAIL)
    assert read(path).problems == ["holds more than 50000 entities (save only the outlines)"]


@pytest.mark.parametrize("number", ["nan", "inf", "-1e308", "1e308", "1e12"])
def test_a_coordinate_that_cannot_be_is_named(tmp_path: Path, number: str) -> None:
    (problem,) = read(written(tmp_path, HEAD + line(0, 0, number, 5) + TAIL), unit="mm").problems
    assert problem.startswith("LINE")
    assert "has a coordinate that cannot be: (" in problem


@pytest.mark.parametrize("number", ["twelve", "", "1,5"])
def test_a_word_for_a_number_is_damage_and_not_mended(tmp_path: Path, number: str) -> None:
    (problem,) = read(written(tmp_path, HEAD + line(0, 0, number, 5) + TAIL), unit="mm").problems
    assert problem.startswith("is damaged: ")


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda s: setattr(s, "knots", [0.0] * len(s.knots)), "has knots that do not match its control points"),
        (lambda s: setattr(s, "weights", [-1.0] * 4), "has a weight that is not above zero"),
        (lambda s: setattr(s.dxf, "degree", 9), "has 4 control points for degree 9"),
        (lambda s: setattr(s, "control_points", [(0, 0, 0)]), "has fewer than two points"),
        (
            lambda s: setattr(s, "control_points", [(0, 0, i) for i in range(4)]),
            "is not flat: its heights run from 0 to 3",
        ),
    ],
)
def test_a_damaged_spline_says_how(tmp_path: Path, change, said: str) -> None:
    def draw(space):
        spline = space.add_open_spline([(0, 0, 0), (10, 5, 0), (20, 5, 0), (30, 0, 0)])
        change(spline)

    (problem,) = drawn(tmp_path, draw).problems
    assert problem.endswith(said)


def test_an_arc_of_no_sense_is_named(tmp_path: Path) -> None:
    outcome = drawn(tmp_path, lambda s: s.add_lwpolyline([(0, 0, 1e6), (9, 0, 0)], format="xyb", close=True))
    assert outcome.problems[0].endswith("has an arc with a bulge of 1e+06")


def test_a_block_scaled_to_nothing_is_named(tmp_path: Path) -> None:
    document = ezdxf.new("R2010", units=4)
    box(document.blocks.new("PART"), 0, 0, 9, 9)
    document.modelspace().add_blockref("PART", (0, 0), dxfattribs={"xscale": 1e-7, "yscale": 1e-7})
    document.saveas(tmp_path / "flat.dxf")
    assert read(tmp_path / "flat.dxf").problems == ["INSERT of block 'PART' is scaled to nothing"]


def test_a_file_damaged_at_random_never_ends_in_a_traceback(tmp_path: Path) -> None:
    """120 damaged copies: read with shapes or refused with a problem (the helper asserts which)."""
    chance = random.Random(20)
    document = ezdxf.new("R2000", units=4)
    space = document.modelspace()
    box(space, 0, 0, 100, 60)
    space.add_circle((20, 20), 5)
    space.add_ellipse((50, 30), (20, 0), 0.5)
    space.add_spline(fit_points=[(70, 10, 0), (80, 20, 0), (90, 10, 0)])
    space.add_line((70, 10), (90, 10))
    box(document.blocks.new("PART"), 0, 0, 4, 4)
    space.add_blockref("PART", (80, 40))
    document.saveas(tmp_path / "whole.dxf")
    assert read(tmp_path / "whole.dxf").problems == []
    whole = (tmp_path / "whole.dxf").read_bytes().split(b"\n")
    wrong = [b"nan", b"-1e308", b"", b"abc", b"-1", b"99999999999999999999", b"INSERT", b"\xff\xfe", b"0"]
    start = whole.index(b"BLOCKS")
    refused = 0
    for _ in range(120):
        rows = list(whole)
        for _ in range(chance.randrange(1, 4)):
            rows[chance.randrange(start, len(rows) - 2)] = chance.choice(wrong)
        refused += read(written(tmp_path, b"\n".join(rows))).shapes is None
    assert 30 < refused < 120


def test_a_curve_is_made_ready_once_however_many_points_it_has(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    ready, made = BSpline.evaluator.fget, []
    monkeypatch.setattr(BSpline, "evaluator", property(lambda curve: made.append(curve) or ready(curve)))
    ring = [(60 * cos(2 * pi * i / 400), 60 * sin(2 * pi * i / 400)) for i in range(401)]
    outcome = drawn(tmp_path, lambda space: space.add_open_spline(ring))
    assert outcome.only.outer.area == pytest.approx(pi * 60**2, rel=1e-3)
    assert len(made) == 1


def test_a_curve_through_thousands_of_given_points_is_refused(tmp_path: Path) -> None:
    ring = [(60 * cos(2 * pi * i / 3500), 60 * sin(2 * pi * i / 3500)) for i in range(3501)]
    outcome = drawn(tmp_path, lambda space: space.add_spline(ring))
    assert outcome.problems == ["SPLINE 2F goes through 3501 given points, more than 3000"]
