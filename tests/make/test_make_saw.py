"""`cncpanel saw` and a job without a machine: all papers, no programs, the same bytes every time."""

import csv
import io
import json
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest
from click.testing import CliRunner, Result
from paper_samples import JOBS
from print_samples import assert_clear
from saw_samples import job_text

from cncpanel.cli import main
from cncpanel.drawing.paper import Cautions, Heading, PaperSize
from cncpanel.make.choice import Choice
from cncpanel.make.paper_set import bench_document
from cncpanel.make.saw_set import Sawn, sawn, set_files
from cncpanel.output.pdf import pdf

BENCH = JOBS / "trestle_bench.toml"


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, list(map(str, arguments)))


@pytest.fixture(scope="module")
def made() -> Sawn:
    return sawn(BENCH, lambda _: None)


@pytest.fixture(scope="module")
def files(made: Sawn) -> dict[str, bytes]:
    return set_files(made, Choice(only=("sheets", "dxf")))


def pages(data: bytes) -> list[str]:
    document = pypdfium2.PdfDocument(data)
    return [page.get_textpage().get_text_bounded() for page in document]


def test_the_set_has_papers_and_no_programs(files: dict[str, bytes]) -> None:
    assert {"index.html", "job.json", "sheets/sheets.pdf", "sheets/labels.pdf", "sheets/saw-plan.pdf"} <= files.keys()
    assert not [name for name in files if name.endswith(".nc")]
    assert sorted(name for name in files if name != "job.json") == json.loads(files["job.json"])["files"]


def test_the_sheets_hold_cover_plan_cut_list_and_drawings(files: dict[str, bytes]) -> None:
    text = pages(files["sheets/sheets.pdf"])
    assert "a table saw: nothing here is for a router" in text[0]
    for part in ("Saw sheet 1 of 1", "Cuts, in this order", "Bevels", "Cut list", "gusset"):
        assert any(part in page for page in text), part


def test_labels_say_which_piece_of_which_sheet(made: Sawn, files: dict[str, bytes]) -> None:
    text = " ".join(pages(files["sheets/labels.pdf"]))
    for part in made.plan.sheets[0].parts:
        assert f"Saw sheet 1, {part.piece}" in text


def test_the_tables_hold_every_cut_and_every_part(made: Sawn, files: dict[str, bytes]) -> None:
    cuts = list(csv.DictReader(io.StringIO(files["sheets/saw-cuts.csv"].decode())))
    parts = list(csv.DictReader(io.StringIO(files["sheets/saw-parts.csv"].decode())))
    (sheet,) = made.plan.sheets
    assert [(str(cut.number), cut.guide) for cut in sheet.cuts] == [(row["cut"], row["guide"]) for row in cuts]
    assert [part.label for part in sheet.parts] == [row["part"] for row in parts]
    trestle = next(row for row in parts if row["part"] == "trestle")
    assert "top 12 deg, long point 429.38 mm" in trestle["bevels"]
    assert {"yes", "no"} == {row["to a template"] for row in parts}


def test_the_record_and_the_report_hold_the_plan(made: Sawn, files: dict[str, bytes]) -> None:
    data = json.loads(files["job.json"])
    assert (None, "pass") == (data["machine"], data["verdict"])
    (sheet,) = data["saw"]["sheets"]
    assert [cut.number for cut in made.plan.sheets[0].cuts] == [cut["number"] for cut in sheet["cuts"]]
    assert 10 == len(sheet["parts"])
    report = files["index.html"].decode()
    assert "Saw plan of sheet 1" in report
    assert "NOT PROVEN" not in report


def test_the_same_job_gives_the_same_bytes(files: dict[str, bytes]) -> None:
    again = set_files(sawn(BENCH, lambda _: None), Choice(only=("sheets", "dxf")))
    assert files == again


def test_edges_without_a_machine_are_the_benchs(tmp_path: Path) -> None:
    job = tmp_path / "stand.toml"
    job.write_text(job_text([(400.0, 300.0)], panel="[[panel.edge]]\nround = 3"), encoding="utf-8")
    assert ("all edges: round 3 mm on the show face",) == sawn(job, lambda _: None).panels[0].bench


@pytest.mark.parametrize("who", ["", "bench = false"])
def test_slots_along_edges_have_a_page_of_their_own_and_others_need_none(made: Sawn, tmp_path: Path, who: str) -> None:
    """Without a router nobody else cuts them, whatever the job asks."""
    path = tmp_path / "slotted.toml"
    slot = f'[[panel.edge]]\nside = "top"\n{who}\nt_slot = {{ width = 2.5, depth = 9 }}'
    path.write_text(job_text([(400.0, 300.0)], panel=slot), encoding="utf-8")
    found = sawn(path, lambda _: None)
    told = bench_document(found.read, found.panels, found.plan, {}).pieces
    plain = bench_document(made.read, made.panels, made.plan, {}).pieces
    assert Heading("Slots along edges", 1) in told
    assert any(isinstance(piece, Cautions) and "against the cutter's turn" in piece.points[0] for piece in told)
    assert Heading("Slots along edges", 1) not in plain


def test_the_command_tells_the_plan_and_writes_only_where_it_is_told(tmp_path: Path) -> None:
    told = run("saw", BENCH)
    assert 0 == told.exit_code
    assert "birch 18: 1 sheet" in told.output
    assert "saw sheet 1: 10 parts" in told.output
    written = run("saw", BENCH, "--out", tmp_path / "out", "--only", "sheets", "--quiet")
    assert (0, "") == (written.exit_code, written.output)
    assert (tmp_path / "out" / "sheets" / "saw-plan.pdf").exists()


def test_make_and_check_take_a_job_for_the_saw_too(tmp_path: Path) -> None:
    assert 0 == run("check", BENCH).exit_code
    assert 0 == run("make", BENCH, "--out", tmp_path / "out", "--only", "sheets").exit_code
    assert not (tmp_path / "out" / "programs").exists()
    refused = run("layout", BENCH)
    assert 2 == refused.exit_code
    assert "job.machine: missing: this job is for the saw only" in refused.output


def test_a_panel_too_large_for_the_saw_is_told_with_its_line(tmp_path: Path) -> None:
    job = tmp_path / "stand.toml"
    job.write_text(job_text([(400.0, 300.0), (2600.0, 300.0)]), encoding="utf-8")
    refused = run("saw", job, "--out", tmp_path / "out")
    assert 2 == refused.exit_code
    assert "panel[1]: panel p1: 2600 mm x 300 mm cannot be sawn" in refused.output
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("price", [None, 80])
def test_report_and_papers_have_a_column_for_prices_where_there_are_any(price: int | None, tmp_path: Path) -> None:
    job, out = tmp_path / "stand.toml", tmp_path / "out"
    text = job_text([(400.0, 300.0)], stock=f"price = {price}" if price else "")
    job.write_text(text.replace("[saw]", 'machine = "shop-router"\n[saw]').replace("margin = 0", ""), encoding="utf-8")
    assert 0 == run("make", job, "--out", out, "--only", "sheets,saw").exit_code
    report = (out / "index.html").read_text()
    assert (
        2 * bool(price)
        == report.count('<th class="figure">Price</th>')
        == report.count('<td class="figure">80.00</td>')
    )
    for name in ("sheets/sheets.pdf", "sheets/saw-plan.pdf"):
        assert bool(price) == ("Price" in " ".join(pages((out / name).read_bytes())))


LONG = """[job]
name = "Seed drawer with a long name of its own"
[saw]
[[stock]]
name = "plywood 12, birch, both faces sanded"
material = "plywood"
thickness = 12
sheet = [2500, 1250]
count = 1
[[panel]]
name = "drawer side"
stock = "plywood 12, birch, both faces sanded"
size = [450, 140]
copies = 8
groove = [{ name = "bottom groove", path = [[0, 12], [450, 12]], width = 6.2, depth = 6, ends = ["open", "open"] }]
[[panel]]
name = "drawer front whose name is rather long for any label"
stock = "plywood 12, birch, both faces sanded"
size = [520, 160]
copies = 4
edge = [{ side = "top", bevel_deg = 30, depth = 12, bench = true }]
[[panel]]
name = "gusset"
stock = "plywood 12, birch, both faces sanded"
outline = [[0, 0], [200, 0], [0, 200]]
copies = 3
"""


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("job", ["bench", "long"])
def test_no_text_of_a_set_for_the_saw_only_overlaps_or_leaves_its_page(
    job: str, paper: PaperSize, made: Sawn, tmp_path: Path
) -> None:
    if job == "long":
        path = tmp_path / "long.toml"
        path.write_text(LONG, encoding="utf-8")
        made = sawn(path, lambda _: None)
    whole = bench_document(made.read, made.panels, made.plan, {})
    assert_clear(pdf(replace(whole, paper=paper)))


def test_a_router_job_gets_a_saw_plan_where_it_is_asked_for(tmp_path: Path) -> None:
    job, out = tmp_path / "stand.toml", tmp_path / "out"
    text = job_text([(400.0, 300.0)]).replace("[saw]", 'machine = "shop-router"\n[saw]').replace("margin = 0", "")
    job.write_text(text, encoding="utf-8")
    assert 0 == run("make", job, "--out", out, "--only", "programs,sheets,saw").exit_code
    assert any((out / "programs").iterdir())
    assert any("Saw sheet 1 of 1" in page for page in pages((out / "sheets" / "sheets.pdf").read_bytes()))
    assert json.loads((out / "job.json").read_text())["saw"]["sheets"]
    assert 0 == run("make", job, "--out", out, "--only", "programs").exit_code
    assert json.loads((out / "job.json").read_text())["saw"] is None


def test_what_a_sawn_sheet_leaves_comes_into_the_store_of_offcuts(tmp_path: Path) -> None:
    store, out = tmp_path / "offcuts.toml", tmp_path / "out"
    assert 0 == run("saw", BENCH, "--out", out, "--only", "sheets").exit_code
    assert 0 == run("offcuts", "new", store, "--least", "400x200").exit_code
    assert 0 == run("offcuts", "cut", out, "--sheet", 1, "--offcuts", store).exit_code
    (sheet,) = json.loads((out / "job.json").read_text())["sheets"]
    listed = run("offcuts", "list", store).output
    assert len(sheet["leaves"]) > 0
    assert all(left["name"] in listed for left in sheet["leaves"])
    assert 2 == run("offcuts", "cut", out, "--sheet", 1, "--offcuts", store).exit_code  # never twice


def test_jobs_for_the_saw_go_with_others_in_one_run(tmp_path: Path) -> None:
    jobs = [tmp_path / "a.toml", tmp_path / "b.toml"]
    for job in jobs:
        job.write_text(job_text([(400.0, 300.0)]), encoding="utf-8")
    told = run("make", *jobs, "--out", tmp_path / "out", "--only", "sheets")
    assert 0 == told.exit_code
    assert "2 of 2 sets made" in told.output
    assert (tmp_path / "out" / "a" / "sheets" / "saw-plan.pdf").exists()


def store_of(folder: Path, *pieces: tuple[str, str]) -> Path:
    store = folder / "offcuts.toml"
    assert 0 == run("offcuts", "new", store, "--least", "300x200").exit_code
    for name, size in pieces:
        added = run("offcuts", "add", store, name, "--size", size, "--thickness", 18, "--material", "mdf")
        assert 0 == added.exit_code
    return store


def state(store: Path, name: str) -> str:
    return next((line for line in run("offcuts", "list", store).output.splitlines() if line.startswith(name)), "")


def test_a_saw_plan_draws_on_offcuts_and_keeps_them_until_they_are_cut(tmp_path: Path) -> None:
    store = store_of(tmp_path, ("small", "500x400"), ("twin-1", "900x700"), ("twin-2", "900x700"), ("thin", "200x90"))
    job, out = tmp_path / "a.toml", tmp_path / "out"
    text = job_text([(800.0, 600.0), (800.0, 600.0), (400.0, 300.0)], stock="price = 60")
    job.write_text(f'{text}[settings.offcuts]\nfile = "offcuts.toml"\n', encoding="utf-8")
    told = run("saw", job, "--out", out, "--only", "sheets")
    assert 0 == told.exit_code
    assert "3 sheets" in told.output
    assert "0.00 in all" in told.output
    record = json.loads((out / "job.json").read_text())
    assert sorted(sheet["offcut"] for sheet in record["sheets"]) == ["small", "twin-1", "twin-2"]
    assert "kept for Sample" in state(store, "twin-1")
    assert "free" in state(store, "thin")
    other = run("saw", job, "--out", tmp_path / "other", "--only", "sheets")
    assert "1 sheet" in other.output  # what is kept for the first set is no other run's
    assert "offcut" not in other.output
    number = next(sheet["number"] for sheet in record["sheets"] if sheet["offcut"] == "twin-1")
    cut = run("offcuts", "cut", out, "--sheet", number)
    assert "twin-1 is used up" in cut.output
    assert state(store, "twin-1") == ""


def test_an_offcut_is_left_alone_where_a_sheet_must_be_bought_anyway(tmp_path: Path) -> None:
    store = store_of(tmp_path, ("small", "500x400"))
    job = tmp_path / "a.toml"
    job.write_text(job_text([(2000.0, 600.0), (400.0, 300.0)]), encoding="utf-8")
    told = run("saw", job, "--out", tmp_path / "out", "--only", "sheets", "--offcuts", store)
    assert "mdf: 1 sheet, " in told.output
    assert "free" in state(store, "small")


def test_pieces_for_the_rack_have_their_names_on_the_plan_and_on_labels(tmp_path: Path) -> None:
    store, job, out = store_of(tmp_path), tmp_path / "a.toml", tmp_path / "out"
    job.write_text(job_text([(2000.0, 600.0)]), encoding="utf-8")
    assert 0 == run("saw", job, "--out", out, "--only", "sheets", "--offcuts", store).exit_code
    leaves = json.loads((out / "job.json").read_text())["sheets"][0]["leaves"]
    assert len(leaves) > 0
    plan = "".join(pages((out / "sheets" / "saw-plan.pdf").read_bytes()))
    labels = "".join(pages((out / "sheets" / "offcut-labels.pdf").read_bytes()))
    for left in leaves:
        assert plan.count(left["name"]) == 2  # on the drawing, and below it with its piece
        assert left["name"] in labels
        assert f"sheet 1, {left['piece']}" in labels


def test_a_store_that_is_not_there_is_a_mistake_for_the_saw_too(tmp_path: Path) -> None:
    job = tmp_path / "a.toml"
    job.write_text(job_text([(400.0, 300.0)]) + '[settings.offcuts]\nfile = "rack.toml"\n', encoding="utf-8")
    refused = run("saw", job, "--out", tmp_path / "out")
    assert 2 == refused.exit_code
    assert "settings.offcuts.file: " in refused.output
    assert not (tmp_path / "out").exists()


def test_two_sizes_of_the_same_sheet_are_as_many_as_both_have(tmp_path: Path) -> None:
    job = tmp_path / "a.toml"
    sizes = "".join("[[stock.size]]\nsheet = [900, 700]\ncount = 1\nprice = 1\n" for _ in range(2))
    job.write_text(job_text([(800.0, 600.0), (800.0, 600.0)], stock=sizes), encoding="utf-8")
    assert "mdf: 2 sheets" in run("saw", job).output


@pytest.mark.parametrize("verb", ["saw", "make"])
def test_programs_alone_are_refused_where_a_saw_runs_none(verb: str, tmp_path: Path) -> None:
    refused = run(verb, BENCH, "--out", tmp_path / "out", "--only", "programs,dxf")
    assert refused.exit_code == 2
    assert refused.output.splitlines()[-2:] == [
        "--only: programs are for a router; a table saw runs none (dxf)",
        "1 mistake; nothing was written",
    ]
    assert not (tmp_path / "out").exists()
