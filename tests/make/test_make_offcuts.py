"""Offcuts go from one job to the next: kept for a set, spent once, put in only when a sheet was said to be cut."""

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdfium2 import PdfDocument

from cncpanel.cli import main
from cncpanel.errors import ProblemsFound
from cncpanel.make.choice import Choice
from cncpanel.make.cut_sheet import cut
from cncpanel.make.flow import Prepared, prepare
from cncpanel.make.keeping import kept_pieces
from cncpanel.make.make_into import make_into
from cncpanel.make.sheet_id import identities
from cncpanel.store.change import begun, changed
from cncpanel.store.offcut import Offcut, Store
from cncpanel.store.text import read_store

JOB = """\
[job]
name = "Shelf"
machine = "shop-router"

[settings.offcuts]
file = "offcuts.toml"

[[stock]]
name = "ply 18"
material = "plywood"
thickness = 18
measured = [17.9, 18.1]
sheet = [1200, 800]
count = 1
price = 40

[[panel]]
name = "board"
stock = "ply 18"
size = [300, 200]
"""


def told(text: str) -> None:
    """Nobody listens."""


def piece(name: str, length: float, width: float, **changes: object) -> Offcut:
    data = {"name": name, "material": "plywood", "thickness": 18, "size": (length, width), **changes}
    return Offcut.model_validate(data)


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    (tmp_path / "shelf.toml").write_text(JOB)
    begun(tmp_path / "offcuts.toml", Store(offcut=(piece("small", 340, 240), piece("large", 700, 500))))
    return tmp_path


def laid(shop: Path, folder: str = "") -> Prepared:
    return prepare(shop / "shelf.toml", Choice(folder=shop / folder if folder else None), told)


def pieces(prepared: Prepared) -> list[str]:
    return [sheet.piece for sheet in prepared.layout.sheets]


def keep(prepared: Prepared) -> bool:
    sheets = prepared.layout.sheets
    return kept_pieces(prepared.rack, prepared.read, identities(prepared.read, prepared.machine, sheets), sheets)


def with_pieces(shop: Path, *found: Offcut) -> None:
    changed(shop / "offcuts.toml", lambda store: store.model_copy(update={"offcut": found}))


def test_the_smallest_piece_that_holds_the_parts_is_drawn_on(shop: Path) -> None:
    prepared = laid(shop)
    assert pieces(prepared) == ["small"]
    assert prepared.layout.sheets[0].stock.sheet == (340, 240)


def test_a_full_sheet_is_not_joined_by_pieces_that_it_needs_not(shop: Path) -> None:
    text = JOB.replace("size = [300, 200]", "size = [300, 200]\ncopies = 8")
    (shop / "shelf.toml").write_text(text)
    assert pieces(laid(shop)) == [""]


@pytest.mark.parametrize(
    "changes",
    [
        {"material": "mdf"},
        {"thickness": 12},
        {"measured": (18.3,)},
        {"measured": (17.5,)},
        {"claim": {"job": "Other", "sheet": 1, "sheet_id": "X", "folder": "/elsewhere"}},
    ],
    ids=lambda changes: next(iter(changes)),
)
def test_another_or_a_kept_piece_is_left_alone(changes: dict[str, object], shop: Path) -> None:
    with_pieces(shop, piece("p", 700, 500, **changes))
    assert pieces(laid(shop)) == [""]


def test_pieces_measured_too_thick_are_told(shop: Path) -> None:
    with_pieces(shop, piece("p", 700, 500, measured=(18.3,)))
    assert [str(warning) for warning in laid(shop).gathering.warnings] == [
        "shelf.toml:8: stock[0]: warning: offcuts p are measured thicker or thinner than ply 18: not used "
        "(give the stock their readings too)"
    ]


def test_a_stock_with_grain_takes_only_pieces_with_grain_along_their_length(shop: Path) -> None:
    (shop / "shelf.toml").write_text(JOB.replace('name = "ply 18"\nm', 'name = "ply 18"\ngrain = "long"\nm', 1))
    with_pieces(shop, piece("plain", 700, 500), piece("narrow", 240, 400, grain="long"))
    assert pieces(laid(shop)) == [""]
    with_pieces(shop, piece("grained", 340, 400, grain="long"))
    assert laid(shop).layout.sheets[0].stock.sheet == (340, 400)


def test_two_jobs_at_once_never_get_the_same_piece(shop: Path) -> None:
    with_pieces(shop, piece("only", 700, 500))
    first, second = laid(shop, "a"), laid(shop, "b")
    assert (pieces(first), pieces(second)) == (["only"], ["only"])
    assert (keep(first), keep(second)) == (True, False)
    assert pieces(laid(shop, "b")) == [""]
    assert pieces(laid(shop, "a")) == ["only"]  # made anew in its own folder


def test_a_set_is_made_from_a_piece_and_leaves_one(shop: Path) -> None:
    made = make_into(shop / "shelf.toml", shop / "out", Choice(), told)
    assert made.passed
    assert [found.state for found in read_store(shop / "offcuts.toml").offcut] == ["kept for Shelf, sheet 1", "free"]
    record = json.loads((shop / "out" / "job.json").read_text())["sheets"][0]
    assert (record["offcut"], record["leaves"]) == ("small", [])
    done = cut(shop / "out", 1, None, again=False)
    assert (done.gone, done.kept) == ("small", ())
    assert [found.name for found in read_store(shop / "offcuts.toml").offcut] == ["large"]
    with pytest.raises(ProblemsFound, match="was said to be cut before"):
        cut(shop / "out", 1, None, again=True)


def test_made_anew_with_another_piece_the_first_is_free_again(shop: Path) -> None:
    make_into(shop / "shelf.toml", shop / "out", Choice(), told)
    (shop / "shelf.toml").write_text(JOB.replace("[300, 200]", "[500, 300]"))
    make_into(shop / "shelf.toml", shop / "out", Choice(), told)
    states = {found.name: found.state for found in read_store(shop / "offcuts.toml").offcut}
    assert states == {"small": "free", "large": "kept for Shelf, sheet 1"}


def test_a_run_that_fails_gives_back_what_it_took(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("cncpanel.make.make_into.write_folder", broken)
    with pytest.raises(KeyboardInterrupt):
        make_into(shop / "shelf.toml", shop / "out", Choice(), told)
    assert [found.state for found in read_store(shop / "offcuts.toml").offcut] == ["free", "free"]


def test_what_a_bought_sheet_leaves_is_put_in_once_a_cut(shop: Path) -> None:
    with_pieces(shop)
    make_into(shop / "shelf.toml", shop / "out", Choice(), told)
    first = cut(shop / "out", 1, None, again=False)
    name = first.kept[0].name
    with PdfDocument(shop / "out" / "sheets" / "offcut-labels.pdf") as labels:
        said = labels[0].get_textpage().get_text_bounded()
    assert said.split("\r\n") == [name, "974 x 800 mm", "ply 18, 18 mm plywood", "Shelf, revision A", "sheet 1"]
    stocks = json.loads((shop / "out" / "job.json").read_text())["layout"]["stocks"]
    areas = [(s["board_m2"], s["rack_m2"], round(s["parts_m2"] + s["rack_m2"] + s["lost_m2"], 4)) for s in stocks]
    assert areas == [(0.96, 0.7792, 0.96)]
    assert [(p.size, p.measured, p.stock, p.origin) for p in first.kept] == [
        ((974.0, 800.0), (17.9, 18.1), "ply 18", "Shelf, revision A, sheet 1")
    ]
    with pytest.raises(ProblemsFound, match=r"said to be cut before \(--again"):
        cut(shop / "out", 1, None, again=False)
    again = cut(shop / "out", 1, None, again=True)
    assert [p.name for p in again.kept] == [f"{name}.2"]
    assert cut(shop / "out", 1, None, again=True, leave_out=[name]).kept == ()
    assert read_store(shop / "offcuts.toml").cut[0].times == 3


def test_a_piece_taken_out_by_hand_cannot_be_cut(shop: Path) -> None:
    make_into(shop / "shelf.toml", shop / "out", Choice(), told)
    changed(shop / "offcuts.toml", lambda store: store.without("small"))
    with pytest.raises(ProblemsFound, match="offcut small, which is not in the store: not kept for this set"):
        cut(shop / "out", 1, None, again=False)


@pytest.fixture
def run(shop: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., tuple[int, str]]:
    monkeypatch.chdir(shop)

    def call(*words: str) -> tuple[int, str]:
        done = CliRunner().invoke(main, ["offcuts", *words])
        return done.exit_code, done.output

    return call


def test_pieces_are_put_in_listed_taken_and_set_free(run: Callable[..., tuple[int, str]], shop: Path) -> None:
    assert run("add", "offcuts.toml", "rack-7", "--size", "24inx400", "--thickness", "18", "--material", "mdf") == (
        0,
        "rack-7: 609.6 x 400 x 18 mm put in\n",
    )
    assert run("take", "offcuts.toml", "large") == (0, "large taken out\n")
    assert keep(laid(shop, "a"))
    code, said = run("list", "offcuts.toml")
    assert (code, said.splitlines()) == (
        0,
        [
            "name    size         thick  material  stock  state                    from",
            "rack-7  609.6 x 400  18     mdf              free                     put in by hand",
            "small   340 x 240    18     plywood          kept for Shelf, sheet 1",
            "2 pieces, 0.33 m2",
        ],
    )
    assert run("take", "offcuts.toml", "small")[0] == 2
    assert run("free", "offcuts.toml", "small") == (0, "small free\n")
    assert json.loads(run("list", "offcuts.toml", "--json")[1])[0]["claim"] is None


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("list", "nowhere.toml"), "nowhere.toml: there is no store of offcuts (begin one: "),
        (("new", "offcuts.toml"), "offcuts.toml: exists already and was left alone"),
        (("new", "x.toml", "--least", "400"), '--least: "400" is not a size (length x width such as 600x400)'),
        (("cut", "nowhere", "--sheet", "1"), "nowhere: holds no set: there is no job.json in it"),
        (("take", "offcuts.toml", "gone"), 'offcuts.toml: no piece is named "gone"'),
        (("free", "offcuts.toml", "gone"), 'offcuts.toml: no piece is named "gone"'),
        (("list", "shelf.toml"), "shelf.toml:1: job: unknown key (least, offcut, cut)"),
        (
            ("add", "offcuts.toml", "small", "--size", "9x9", "--thickness", "9", "--material", "mdf"),
            'a piece is named "small" already',
        ),
        (
            ("add", "offcuts.toml", "n", "--size", "axb", "--thickness", "9", "--material", "mdf"),
            '--size: "a"',
        ),
        (
            ("add", "offcuts.toml", "n", "--size", "0x9", "--thickness", "no", "--material", "mdf"),
            "2 mistakes; nothing was written",
        ),
    ],
    ids=lambda value: " ".join(value[:3]) if isinstance(value, tuple) else "",
)
def test_what_cannot_be_done_is_told(words: tuple[str, ...], said: str, run: Callable[..., tuple[int, str]]) -> None:
    code, output = run(*words)
    assert code == 2
    assert said in output


def test_a_set_whose_record_is_broken_or_has_no_such_sheet_is_told(shop: Path) -> None:
    make_into(shop / "shelf.toml", shop / "out", Choice(), told)
    with pytest.raises(ProblemsFound, match=r"--sheet: the set has no sheet 2 \(1 to 1\)"):
        cut(shop / "out", 2, None, again=False)
    with pytest.raises(ProblemsFound, match='sheet 1 leaves no piece named "x"'):
        cut(shop / "out", 1, None, again=False, leave_out=["x"])
    record = shop / "out" / "job.json"
    data = json.loads(record.read_text())
    data["sheets"][0]["stock"] = "m" * 5000
    without = json.loads(record.read_text())
    del without["sheets"][0]["thickness"]["nominal"]
    for text in ("{", "[" * 100_000, json.dumps(data), json.dumps(without)):
        record.write_text(text)
        with pytest.raises(ProblemsFound, match="not one that tells of offcuts"):
            cut(shop / "out", 1, None, again=False)


def test_a_job_that_names_a_missing_store_is_told_at_its_key(shop: Path) -> None:
    (shop / "offcuts.toml").unlink()
    with pytest.raises(ProblemsFound) as raised:
        laid(shop)
    store = shop / "offcuts.toml"
    assert str(raised.value) == (
        f"shelf.toml:6: settings.offcuts.file: {store}: there is no store of offcuts "
        f"(begin one: cncpanel offcuts new {store})"
    )


def test_a_kept_layout_lasts_while_the_pieces_that_it_uses_do(shop: Path) -> None:
    from cncpanel.make.arrange import keep_layout

    first = laid(shop)
    keep_layout(shop / "shelf.toml", first.layout, first.read, first.panels, first.plans)
    with_pieces(shop, piece("small", 340, 240), piece("tiny", 330, 230))
    assert (laid(shop).layout.kept, pieces(laid(shop))) == (True, ["small"])
    with_pieces(shop, piece("tiny", 330, 230))
    assert (laid(shop).layout.kept, pieces(laid(shop))) == (False, ["tiny"])


def test_the_judge_finds_a_piece_that_is_cut_twice(shop: Path) -> None:
    from cncpanel.layout.judge import faults

    layout = laid(shop).layout
    twice = replace(layout, sheets=(layout.sheets[0], replace(layout.sheets[0], number=2, parts=())))
    assert "offcut small is cut 2 times" in faults(twice, {p.index: p for p in laid(shop).panels})
