"""The feeds sheet holds the values that the programs go at, and says what held them back."""

import re

import pytest
from drawing_samples import MACHINES, sample

from cncpanel.drawing.feeds import cut_rows, feed_words, feeds_pieces
from cncpanel.drawing.measures import Measures
from cncpanel.drawing.paper import Bullets, Heading, Piece, Sentence, Table
from cncpanel.job.model import Settings
from cncpanel.make.flow import Made


@pytest.fixture(params=MACHINES)
def made(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Made:
    return sample(tmp_path_factory.getbasetemp(), request.param)


def pieces_of(made: Made) -> list[Piece]:
    rows = cut_rows((sheet.sheet.stock, sheet.runs) for sheet in made.sheets)
    return feeds_pieces(rows, made.machine, Measures.of(made.read.job.job, made.machine), made.read.job.settings)


def tables(made: Made, title: str) -> list[Table]:
    return [p for p in pieces_of(made) if isinstance(p, Table) and any(title in head for head in p.head)]


def words(made: Made, letter: str) -> set[float]:
    """The values of a word in all programs, comments left out."""
    written = [w for sheet in made.sheets for w in sheet.written if w != sheet.dry]  # that one is as fast as may be
    lines = [re.sub(r"\([^)]*\)|;.*", "", w.text) for w in written]
    return {float(value) for text in lines for value in re.findall(rf"{letter}([0-9.]+)", text)}


def unit_word(made: Made) -> str:
    return "in/min" if made.machine.dialect.unit == "inch" else "mm/min"


def listed_feeds(made: Made) -> set[float]:
    (table,) = tables(made, f"Feed {unit_word(made)}")
    cells = [cell for row in table.rows for cell in row[-3:]]
    return {float(cell) for cell in cells if cell != "-"}


def said_feeds(made: Made) -> set[float]:
    sentences = " ".join(p.text for p in pieces_of(made) if isinstance(p, Sentence))
    return {float(value) for value in re.findall(rf"([0-9.]+) {unit_word(made)}", sentences)}


def test_every_feed_in_the_programs_is_on_the_sheet(made: Made) -> None:
    assert words(made, "F") <= listed_feeds(made) | said_feeds(made)


def test_every_feed_on_the_sheet_is_in_the_programs(made: Made) -> None:
    assert listed_feeds(made) <= words(made, "F")


def test_every_speed_in_the_programs_is_on_the_sheet(made: Made) -> None:
    (table, *_) = tables(made, "Feed ")
    listed = {float(row[table.head.index("rpm")]) for row in table.rows}
    if made.machine.spindle.control == "program":
        assert listed == words(made, "S")
    else:
        assert set() == words(made, "S")
        assert listed == {run.rpm for sheet in made.sheets for run in sheet.runs.runs}


def test_the_dial_is_told_where_there_is_one(made: Made) -> None:
    (table, *_) = tables(made, "Feed ")
    assert bool(made.machine.spindle.dial) == ("Dial" in table.head)


def test_the_column_of_the_chip_loads_is_named_and_no_maker_is(made: Made) -> None:
    first = next(piece for piece in pieces_of(made) if isinstance(piece, Sentence))
    assert f"{made.machine.cutting.chip_load} column" in first.text
    assert "cutter maker's table" in first.text


def test_every_limit_and_warning_is_named_once_for_a_tool(made: Made) -> None:
    points = [point for piece in pieces_of(made) if isinstance(piece, Bullets) for point in piece.points]
    for sheet in made.sheets:
        for cut in sheet.runs.cuts:
            for note in (*cut.data.limits, *cut.data.warnings):
                metric = re.sub(r"(\.\d*?)0+(?= mm)", lambda found: found[1].rstrip("."), note)
                said = [p for p in points if p.startswith(f"T{cut.tool.number}, ") and in_mm(p).endswith(f": {metric}")]
                assert [" mm deep" in in_mm(one) for one in said] == [True]


def in_mm(point: str) -> str:
    """A note without what it tells in inches too."""
    return re.sub(
        r"(\.\d*?)0+(?= mm)", lambda found: found[1].rstrip("."), re.sub(r" or [\d.]+ in/min| \([\d.]+ in\)", "", point)
    )


def test_inches_are_told_beside_millimetres_on_an_inch_machine(tmp_path_factory: pytest.TempPathFactory) -> None:
    folder = tmp_path_factory.getbasetemp()
    inch, metric = sample(folder, "shop-router-inch"), sample(folder, "shop-router")
    assert [t.head[2].split()[1] for t in tables(inch, "Feed ")] == ["mm", "in"]
    assert [t.head[2].split()[1] for t in tables(metric, "Feed ")] == ["mm"]


def test_a_job_in_inches_puts_inches_first(tmp_path_factory: pytest.TempPathFactory) -> None:
    made = sample(tmp_path_factory.getbasetemp(), "shop-router", "inch")
    assert [t.head[2].split()[1] for t in tables(made, "Feed ")] == ["in", "mm"]


def test_a_job_in_inches_is_told_what_to_expect_in_inches(tmp_path_factory: pytest.TempPathFactory) -> None:
    folder = tmp_path_factory.getbasetemp()
    ((metric,), (inch,)) = (tables(sample(folder, "shop-router", *unit), "Chip") for unit in ((), ("inch",)))
    assert inch.head[2:] == (
        *("Deep in", "Wide in", "Chip in", "Least in", "Rim ft/min", "in3/min", "Power W", "of W", "Bends in"),
    )
    one_of_them = (25.4, 25.4, 25.4, 25.4, 0.3048 / 60, 2.54**3, 1, 1, 25.4)  # NIST SP 811: 1 in is 25.4 mm, 12 a foot
    nearly = (0.02, 0.02, 0.002, 0.002, 0.06, 1.4, 0, 0, 0.002)
    assert [row[:2] for row in metric.rows] == [row[:2] for row in inch.rows]
    for said, told in zip(metric.rows, inch.rows, strict=True):
        for value, other, unit, off in zip(said[2:], told[2:], one_of_them, nearly, strict=True):
            assert float(other) * unit == pytest.approx(float(value), abs=off)


def test_a_job_in_inches_is_told_in_inches_what_held_a_value_back(tmp_path_factory: pytest.TempPathFactory) -> None:
    made = sample(tmp_path_factory.getbasetemp(), "shop-router-inch", "inch")
    held = [p for piece in pieces_of(made) if isinstance(piece, Bullets) for p in piece.points if " held: " in p]
    assert held
    for point in held:
        assert re.match(r"T\d, .* [\d.]+ in \([\d.]+ mm\) deep", point)
        assert re.search(r"[\d.]+ in/min or \d+ mm/min is ", point)


def test_feeds_are_rounded_down_as_a_program_rounds_them() -> None:
    assert feed_words(1200.0, "mm") == "1200"
    assert feed_words(1200.0, "inch") == "47.2"
    assert feed_words(7620.0, "inch") == "300"


def test_a_sheet_that_cuts_nothing_still_has_a_page(made: Made) -> None:
    pieces = feeds_pieces([], made.machine, Measures("mm", "mm"), Settings())
    assert Heading("Feeds and speeds", 1) == pieces[0]


def test_figures_of_the_table_of_feeds_stand_to_the_right_ranges_too(made: Made) -> None:
    (table, *_) = tables(made, "Feed ")
    assert {table.head[column].split()[0] for column in table.right} == {"Deep"}


@pytest.mark.parametrize(
    ("settings", "expected"),
    [
        (
            Settings(direction="climb", finish_direction="climb"),
            "roughing and the last pass are climb (the material on the tool's right).",
        ),
        (
            Settings(direction="climb", finish_direction="conventional"),
            "roughing is climb (the material on the tool's right), the last pass conventional (the material on the "
            "tool's left).",
        ),
    ],
)
def test_the_sheet_says_which_way_the_tool_goes(made: Made, settings: Settings, expected: str) -> None:
    pieces = feeds_pieces([], made.machine, Measures("mm", "mm"), settings)
    told = [piece.text for piece in pieces if isinstance(piece, Sentence) and "frame program" in piece.text]
    assert [True] == [text.endswith(f"Along walls and edges {expected}") for text in told]
