"""The jobs that the project ships: each reads, each is what the exported schema allows, each says which machine."""

import tomllib
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from cncpanel.errors import Gathering, ProblemsFound
from cncpanel.job.read import ReadJob, read_job
from cncpanel.job.schema import job_schema
from cncpanel.job.starter import starter_job
from cncpanel.machine.read import read_machine
from cncpanel.panel.resolve import resolve

FIXTURES = Path(__file__).parents[2] / "fixtures"
JOBS = sorted((FIXTURES / "jobs").glob("*.toml"))
SCHEMA = Draft202012Validator(job_schema())


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_a_shipped_job_reads_and_resolves_without_a_word(path: Path) -> None:
    gathering = Gathering()
    read = read_job(path, gathering)
    panels = resolve(read, gathering)
    assert gathering.found == []
    assert len(panels) == len(read.job.panel)


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_a_shipped_job_is_what_the_schema_allows(path: Path) -> None:
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    assert [error.message for error in SCHEMA.iter_errors(data)] == []


def test_the_demo_jobs_are_there_and_name_their_machines() -> None:
    assert {path.stem: read_job(path).job.job.machine for path in JOBS} == {
        "control_deck": "shop-router",
        "counter_tray": "nesting-router",
        "ferry_counter": "nesting-router",
        "lantern_fund": "shop-router",
        "leaflet_rack": "nesting-router",
        "lit_sign": "shop-router",
        "loop_board": "shop-router",
        "millrace": "shop-router",
        "pen_tray": "shop-router",
        "reading_bench": "nesting-router",
        "rounded_tray": "shop-router",
        "seed_station": "shop-router",
        "serving_board": "shop-router",
        "story_dial": "desktop-router",
        "trail_plaque": "shop-router",
        "trestle_bench": None,  # for a table saw only
    }


def test_the_schema_is_itself_a_schema() -> None:
    Draft202012Validator.check_schema(job_schema())
    assert job_schema()["$schema"] == "https://json-schema.org/draft/2020-12/schema"


@pytest.mark.parametrize(
    "name",
    [
        "missing_keys",
        "unknown_key",
        "wrong_type",
        "unknown_choice",
        "points",
        "edge_of_two_forms",
        "three_radii",
        "no_shape",
        "two_shapes",
        "two_patterns",
        "out_of_range",
    ],
)
def test_the_schema_refuses_a_wrong_file(name: str) -> None:
    data = tomllib.loads((FIXTURES / "invalid" / f"{name}.toml").read_text(encoding="utf-8"))
    assert not SCHEMA.is_valid(data)


def test_the_schema_offers_lengths_as_numbers_and_texts() -> None:
    depth = job_schema()["$defs"]["Recess"]["properties"]["depth"]
    assert depth["anyOf"] == [{"type": "number"}, {"type": "string"}]
    assert "3/4 in" in depth["description"]


@pytest.mark.parametrize(
    ("table", "good", "wrong"),
    [
        ("Groove", {"width": 6}, {"width": 6, "houses": "m"}),
        ("Rabbet", {"edge": 0, "width": 6}, {"width": 6}),
        ("Rabbet", {"side": "top", "width": 6}, {"side": "top", "width": 0}),
        ("Rabbet", {"side": "top", "width": "1/4 in", "start": 0}, {"side": "top", "width": 6, "start": -1}),
        ("Opening", {"diameter": 9, "at": [1, 1]}, {"diameter": 9, "at": [1, 1], "centre": [1, 1]}),
        ("Grille", {"diameter": 9, "slots": {"length": 9, "width": 3, "pitch": [12, 6]}}, {"diameter": 9}),
        ("Hole", {"ring": {"count": 6, "diameter": 60}}, {"ring": {"count": 6, "diameter": 0}}),
    ],
)
def test_the_schema_tells_the_rules_between_keys_and_the_limits(
    table: str, good: dict[str, object], wrong: dict[str, object]
) -> None:
    rest = {"Groove": {"path": [[0, 0], [9, 0]], "depth": 3}, "Rabbet": {"depth": 3}}
    rest["Hole"] = {"centre": [0, 0], "diameter": 5}
    asked = Draft202012Validator({"$defs": job_schema()["$defs"], "$ref": f"#/$defs/{table}"})
    assert [] == [error.message for error in asked.iter_errors({**rest.get(table, {}), **good})]
    assert not asked.is_valid({**rest.get(table, {}), **wrong})


def test_the_schema_knows_no_null_for_toml_has_none() -> None:
    assert "'null'" not in str(job_schema())


def _starter(folder: Path, name: str) -> ReadJob:
    path = folder / "stand.toml"
    path.write_text(starter_job(name), encoding="utf-8")
    return read_job(path)


def test_the_starter_reads_and_resolves_without_a_word(tmp_path: Path) -> None:
    gathering = Gathering()
    read = _starter(tmp_path, "Donation stand")
    panels = resolve(read, gathering)
    assert [*read.warnings, *gathering.found] == []
    assert [panel.name for panel in panels] == ["side", "front", "shelf"]
    assert read_machine(read.job.job.machine).name == "shop-router"


@pytest.mark.parametrize("name", ["plain", 'with "quotes" and \\', "Tür", "line\nbreak", "del\x7f", "\U0001f6b2"])
def test_the_starter_writes_any_name_as_toml(name: str) -> None:
    assert tomllib.loads(starter_job(name))["job"]["name"] == name


def test_every_mistake_of_a_file_is_told_in_one_run(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text(
        """[job]
name = "x"
machine = "shop-router"
[values]
a = "b + 1"
[[stock]]
name = "s"
material = "mdf"
thickness = -1
sheet = [2440, 1220]
count = 1
[[panel]]
name = "p"
stock = "t"
size = ["a", 5]
copy = 2
[[panel.hole]]
centre = [1, 1]
diameter = 0
grid = {}
ring = {}
[[panel]]
name = "P"
stock = "s"
dxf = { file = "none.dxf" }
""",
        encoding="utf-8",
    )
    with pytest.raises(ProblemsFound) as raised:
        read_job(path)
    assert [(problem.place.line, problem.place.key) for problem in raised.value.problems] == [
        (5, "values.a"),
        (9, "stock[0].thickness"),
        (14, "panel[0].stock"),
        (16, "panel[0].copy"),
        (17, "panel[0].hole[0]"),
        (19, "panel[0].hole[0].diameter"),
        (20, "panel[0].hole[0].grid.columns"),
        (20, "panel[0].hole[0].grid.pitch"),
        (20, "panel[0].hole[0].grid.rows"),
        (21, "panel[0].hole[0].ring.count"),
        (21, "panel[0].hole[0].ring.diameter"),
        (23, "panel[1].name"),
        (25, "panel[1].dxf.file"),
    ]
