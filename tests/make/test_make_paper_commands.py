"""Templates and artwork by their own commands and by `make --only`; what a job cannot ask of its paper."""

import json
from io import BytesIO
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from pypdf import PdfReader

from cncpanel.cli import main

JOB = """
[job]
name = "Small box"
machine = "shop-router"
units = "UNITS"
SETTINGS
[[stock]]
name = "ply"
material = "plywood"
thickness = "12 mm"
sheet = ["600 mm", "400 mm"]
count = 1

[[panel]]
name = "lid"
stock = "ply"
size = ["250 mm", "150 mm"]
mirrored = 1
[[panel.opening]]
at = ["20 mm", "20 mm"]
size = ["50 mm", "40 mm"]
ARTWORK
"""
ART = '[[panel.artwork]]\nhand = "left"'
SPOT = '[settings.artwork]\nspot = "Die"'


def written(folder: Path, *, units: str = "mm", settings: str = "", artwork: str = "") -> Path:
    path = folder / "box.toml"
    path.write_text(JOB.replace("UNITS", units).replace("SETTINGS", settings).replace("ARTWORK", artwork))
    return path


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments], catch_exceptions=False)


def files_in(folder: Path) -> list[str]:
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())


def test_a_folder_gets_every_file_of_both_hands(tmp_path: Path) -> None:
    done = run("template", written(tmp_path), "lid", "--out", tmp_path / "paper", "--paper", "A3 landscape")
    assert 0 == done.exit_code, done.output
    stems = ("panel01-lid", "panel01-lid-mirrored")
    endings = ("-a3-landscape.pdf", "-r12.dxf", "-roll.pdf", ".dxf", ".svg")
    assert sorted(f"{stem}{ending}" for stem in stems for ending in endings) == files_in(tmp_path / "paper")


@pytest.mark.parametrize(("ending", "start"), [("pdf", b"%PDF"), ("svg", b"<?xml"), ("dxf", b"  0")])
def test_a_file_is_of_the_kind_that_its_ending_names(tmp_path: Path, ending: str, start: bytes) -> None:
    out = tmp_path / f"lid.{ending}"
    assert 0 == run("template", written(tmp_path), "lid", "--out", out).exit_code
    assert out.read_bytes().startswith(start)
    assert ["box.toml", out.name] == files_in(tmp_path)


def test_a_job_in_inches_takes_letter_paper_and_options_in_inches(tmp_path: Path) -> None:
    out = tmp_path / "lid.pdf"
    job = written(tmp_path, units="inch")
    assert 0 == run("template", job, "lid", "--out", out, "--bush", "3/4", "--bit", "8 mm").exit_code
    pages = PdfReader(BytesIO(out.read_bytes())).pages
    assert [612, 792] == pytest.approx([float(v) for v in pages[0].mediabox[2:]])
    assert "guide bush of 0.75 in and a bit of 0.315 in" in " ".join(pages[0].extract_text().split())


def test_every_wrong_option_is_told_in_one_run(tmp_path: Path) -> None:
    wrong = ("--paper", "B7", "--overlap", "100", "--correct", "1,2", "--margin", "1")
    done = run("template", written(tmp_path), "lid", "--out", tmp_path / "lid.pdf", *wrong)
    assert 2 == done.exit_code
    for option in ("--paper: ", "--overlap: ", "--correct: ", "--margin: "):
        assert option in done.output
    assert ["box.toml"] == files_in(tmp_path)


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("lit", "--out", "a.pdf"), 'no panel is named "lit" (did you mean "lid"?)'),
        (("lid", "--out", "a.doc"), "no template is of this kind (.pdf, .svg, .dxf, or a folder)"),
        (("lid", "--out", "a.pdf", "--bush", "8", "--bit", "8"), "the cutter does not go through the guide bush"),
        (("lid", "--out", "a.pdf", "--bush", "8"), "bush is given alone (bush and bit together)"),
        (("lid", "--out", "a.pdf", "--paper", "100x100", "--margin", "20", "--overlap", "40"), "leaves too little"),
        (("lid", "--out", "a.pdf", "--correct", "1"), "--correct: not two corrections"),
        (("lid", "--out", "a.pdf", "--correct", "0,1"), "across and along, each 0.95 to 1.05"),
        (("lid", "--out", "a.pdf", "--correct", "nan,nan"), "--correct: not two corrections"),
        (("lid", "--out", "a.pdf", "--overlap", "0"), "--overlap: 0 mm is too small (at least 6 mm)"),
        (("lid", "--out", "a.pdf", "--margin", "500"), "--margin: 500 mm is too large (at most 40 mm)"),
        (("lid", "--out", "a.pdf", "--bush", "4000", "--bit", "8"), "is left so far inside its edge"),
    ],
)
def test_what_cannot_be_drawn_is_said(tmp_path: Path, arguments: tuple[str, ...], told: str) -> None:
    done = run("template", written(tmp_path), *(str(tmp_path / a) if a.startswith("a.") else a for a in arguments))
    assert 2 == done.exit_code
    assert told in done.output
    assert ["box.toml"] == files_in(tmp_path)


def test_artwork_of_both_hands(tmp_path: Path) -> None:
    job = written(tmp_path, settings=SPOT, artwork=ART)
    assert 0 == run("artwork", job, "lid", "--out", tmp_path / "art").exit_code
    stems = ("panel01-lid-left-show", "panel01-lid-right-show")
    assert sorted(f"{stem}.{kind}" for stem in stems for kind in ("dxf", "pdf", "svg")) == files_in(tmp_path / "art")


@pytest.mark.parametrize(
    ("settings", "artwork", "told"),
    [
        ("", ART, "box.toml:22: panel[0].artwork[0]: the cut line's spot colour has no name (settings.artwork.spot"),
        (SPOT, "[[panel.artwork]]", 'no hand is named (hand = "left" or "right": which the plain copies are)'),
        (SPOT, f"{ART}\n{ART}", "the show face has artwork already (one for each face)"),
        ("[settings.template]\nbush = 8\nbit = 8", "", "settings.template.bush: the cutter does not go through"),
        ('[settings.template]\npaper = "B7"', "", 'settings.template.paper: "B7" is not a size of paper'),
        (
            '[settings.template]\npaper = "100x100"\noverlap = 50',
            "",
            "leaves too little of this page (at most 45.238 mm",
        ),
        ('[settings]\nmake = ["paper"]', "", "settings.make[0]"),
        (f'[settings.artwork]\nspot = "{"線" * 43}"', "", "spot takes 129 bytes, a name in a PDF holds 127"),
    ],
)
def test_what_a_job_cannot_ask_of_its_paper_is_told_at_its_line(
    tmp_path: Path, settings: str, artwork: str, told: str
) -> None:
    done = run("check", written(tmp_path, settings=settings, artwork=artwork))
    assert 2 == done.exit_code
    assert told in done.output


@pytest.mark.parametrize("how", ["option", "job"])
def test_make_writes_only_what_is_asked_and_records_it(tmp_path: Path, how: str) -> None:
    settings = f'[settings]\nmake = ["templates", "artwork"]\n{SPOT}' if how == "job" else SPOT
    job = written(tmp_path, settings=settings, artwork=ART)
    only = ("--only", "templates, artwork") if how == "option" else ()
    out = tmp_path / "out"
    assert 0 == run("make", job, "--out", out, "--quiet", *only).exit_code
    names = files_in(out)
    assert {"artwork", "templates", "index.html", "job.json"} == {name.split("/")[0] for name in names}
    assert names == sorted([*json.loads((out / "job.json").read_text())["files"], "job.json"])
    assert 0 == run("make", job, "--out", out, "--quiet", "--only", "dxf").exit_code
    assert {"dxf", "index.html", "job.json"} == {name.split("/")[0] for name in files_in(out)}


def test_a_word_that_nothing_is_made_for_is_refused_before_anything_is_read(tmp_path: Path) -> None:
    done = run("make", tmp_path / "missing.toml", "--out", tmp_path / "out", "--only", "templates,stickers")
    assert 2 == done.exit_code
    assert '--only: "stickers" is not made (programs, dxf, sheets, templates, artwork, saw)' in done.output


def words(path: Path) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(BytesIO(path.read_bytes())).pages]


def test_one_panels_drawing_tells_its_sizes_as_asked(tmp_path: Path) -> None:
    job, out = written(tmp_path), tmp_path / "lid.pdf"
    assert 0 == run("drawing", job, "lid", "--out", out, "--dimensions", "fraction", "--paper", "Letter").exit_code
    (page,) = words(out)
    assert "9 27/32 -0.001" in page
    assert "20 mm" not in page
    assert "2: 1 as drawn, 1 mirrored left to right" in page
    assert 612 == float(PdfReader(BytesIO(out.read_bytes())).pages[0].mediabox.width)
    assert 0 == run("drawing", job, "lid", "--out", tmp_path / "paper").exit_code
    assert ["panel01-lid-drawing.pdf"] == files_in(tmp_path / "paper")
    assert "All dimensions in mm." in words(tmp_path / "paper" / "panel01-lid-drawing.pdf")[0]


def test_the_cut_list_comes_by_itself(tmp_path: Path) -> None:
    cleats = "".join(f'[[cleat]]\nsize = [18, 40]\nlength = 100\npanel = "{name}"\n' for name in ("lid", "lid"))
    job = written(tmp_path, artwork=cleats)
    assert 0 == run("cut-list", job, "--out", tmp_path / "all.csv").exit_code
    assert 0 == run("cut-list", job, "lid", "--out", tmp_path / "lid.md").exit_code
    assert ["no", "1", "C1", "C2"] == [line.split(",")[0] for line in (tmp_path / "all.csv").read_text().splitlines()]
    assert "| lid " in (tmp_path / "lid.md").read_text()


def test_labels_come_by_themselves_on_a_sheet_that_was_used_before(tmp_path: Path) -> None:
    job, out = written(tmp_path), tmp_path / "labels.pdf"
    assert 0 == run("labels", job, "--out", out, "--quiet").exit_code
    (page,) = words(out)
    assert page.count("Sheet 1, part") == 2
    assert 0 == run("labels", job, "lid", "--out", out, "--sheet", "A4 2x4", "--skip", "7").exit_code
    assert [1, 1] == [page.count("Sheet 1, part") for page in words(out)]


SAW_ONLY = Path(__file__).parents[2] / "fixtures" / "jobs" / "trestle_bench.toml"


def test_labels_of_a_job_for_the_saw_only_tell_their_saw_sheet(tmp_path: Path) -> None:
    out = tmp_path / "labels.pdf"
    assert 0 == run("labels", SAW_ONLY, "seat", "--out", out, "--quiet").exit_code
    (page,) = words(out)
    assert "Saw sheet" in page
    assert "seat" in page
    assert 2 == run("labels", SAW_ONLY, "seta", "--out", out, "--quiet").exit_code


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("drawing", "lit", "--out", "a.pdf"), 'no panel is named "lit" (did you mean "lid"?)'),
        (("drawing", "lid", "--out", "a.svg"), "a.svg: no drawing is of this kind (.pdf, or a folder)"),
        (("cut-list", "--out", "a.xls"), "a.xls: no cut list is of this kind (.csv, .md)"),
        (("cut-list", "lit", "--out", "a.csv"), 'no panel is named "lit" (did you mean "lid"?)'),
        (("labels", "--out", "a"), "a: no labels are of this kind (.pdf)"),
        (("labels", "--out", "a.pdf", "--sheet", "A4 9x9"), '--sheet: "A4 9x9" is not known (A4 3x8, A4 3x7, '),
        (("labels", "--out", "a.pdf", "--skip", "24"), "--skip: a sheet has 24 labels (0 to 23)"),
        (("labels", "lit", "--out", "a.pdf"), 'no panel is named "lit" (did you mean "lid"?)'),
    ],
)
def test_what_a_command_for_paper_cannot_do_is_said(tmp_path: Path, arguments: tuple[str, ...], told: str) -> None:
    command, *rest = (str(tmp_path / a) if a.startswith("a.") else a for a in arguments)
    done = run(command, written(tmp_path), *rest)
    assert 2 == done.exit_code
    assert told in done.output
    assert ["box.toml"] == files_in(tmp_path)


def test_letters_that_cannot_be_printed_are_warned_of(tmp_path: Path) -> None:
    job = written(tmp_path, artwork='[[hardware]]\nname = "漢 hinge"\ncount = 1')
    done = run("drawing", job, "lid", "--out", tmp_path / "lid.pdf")
    assert 0 == done.exit_code
    assert "hardware[0].name: warning: no font here has 漢 (U+6F22)" in done.output


DISC = """
[[panel]]
name = "disc"
stock = "ply"
diameter = "120 mm"
"""


def test_a_disc_is_made_proven_and_drawn(tmp_path: Path) -> None:
    job = written(tmp_path)
    job.write_text(job.read_text() + DISC)
    out = tmp_path / "out"
    assert 0 == run("make", job, "--out", out, "--quiet", "--only", "programs,templates").exit_code
    record = json.loads((out / "job.json").read_text())
    assert record["verdict"].startswith("pass")
    assert "disc" in [part["label"] for sheet in record["sheets"] for part in sheet["parts"]]
    assert 0 == run("drawing", job, "disc", "--out", tmp_path / "disc.pdf").exit_code
    told = " ".join(PdfReader(tmp_path / "disc.pdf").pages[0].extract_text().split())
    assert "\u00d8120" in told


@pytest.mark.parametrize(
    ("dimensions", "told"),
    [
        ("mm", "left edge: round 6 mm on the show face, at the bench"),
        ("inch", "left edge: round 0.2362 in on the show face, at the bench"),
        ("fraction", "left edge: round 15/64 +0.002 in on the show face, at the bench"),
    ],
)
def test_edges_are_written_as_the_jobs_dimensions_ask(tmp_path: Path, dimensions: str, told: str) -> None:
    job = written(tmp_path, settings=f'[settings]\ndimensions = "{dimensions}"')
    job.write_text(f'{job.read_text()}[[panel.edge]]\nside = "left"\nround = "6 mm"\nbench = true\n')
    for command, out in (("drawing", "drawing.pdf"), ("labels", "labels.pdf")):
        assert 0 == run(command, job, "lid", "--out", tmp_path / out).exit_code
        assert told in " ".join(PdfReader(tmp_path / out).pages[0].extract_text().split())
    assert 0 == run("template", job, "lid", "--out", tmp_path / "lid.pdf", "--paper", "roll").exit_code
    words = " ".join(PdfReader(tmp_path / "lid.pdf").pages[0].extract_text().split())
    assert told.partition(": ")[2].partition(" on ")[0] + ", show face" in words


def test_the_dimensions_of_one_drawing_rule_its_edges_too(tmp_path: Path) -> None:
    job = written(tmp_path)
    job.write_text(f'{job.read_text()}[[panel.edge]]\nround = "1/4 in"\nbench = true\n')
    assert 0 == run("drawing", job, "lid", "--out", tmp_path / "a.pdf", "--dimensions", "fraction").exit_code
    told = " ".join(PdfReader(tmp_path / "a.pdf").pages[0].extract_text().split())
    assert "all edges: round 1/4 in on the show face, at the bench" in told


def test_only_nothing_is_refused(tmp_path: Path) -> None:
    done = run("make", written(tmp_path), "--out", tmp_path / "out", "--only", "")
    assert 2 == done.exit_code
    assert '--only: "" is not made' in done.output
