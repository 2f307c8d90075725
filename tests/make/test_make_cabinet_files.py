"""The cabinet seen in 3D and in section, and two revisions compared, as a shop uses the commands."""

import io
from pathlib import Path

import ezdxf
import numpy as np
import pytest
import trimesh
from click.testing import CliRunner

from cncpanel.cli import main


def run(*arguments: object) -> str:
    done = CliRunner().invoke(main, [str(argument) for argument in arguments])
    assert done.exit_code == 0, done.output
    return done.stdout


@pytest.fixture(scope="module")
def job(fixtures: Path) -> Path:
    return fixtures / "cabinets" / "millrace.toml"


def loaded(path: Path) -> trimesh.Scene:
    scene = trimesh.load(io.BytesIO(path.read_bytes()), file_type="glb")
    assert isinstance(scene, trimesh.Scene)
    return scene


def test_the_model_holds_every_panel_by_name_in_metres(job: Path, tmp_path: Path) -> None:
    run("model", job, "--out", tmp_path / "mill.glb")
    scene = loaded(tmp_path / "mill.glb")
    assert {"side (left)", "control deck", "drawer carrier (other side)"} <= set(scene.geometry)
    low, high = scene.bounds
    assert high - low == pytest.approx([0.640, 1.600, 0.620], abs=0.003)  # the screen's frame stands out nowhere
    deck = scene.geometry["control deck"].bounds
    assert deck[1][1:] == pytest.approx([0.610, 0.94237], abs=1e-4)  # before the scene is turned upright


def test_the_same_model_twice_is_the_same_bytes_and_apart_it_is_larger(job: Path, tmp_path: Path) -> None:
    for name in ("a.glb", "b.glb"):
        run("model", job, "--out", tmp_path / name)
    run("model", job, "--out", tmp_path / "apart.glb", "--apart", 1.8)
    assert (tmp_path / "a.glb").read_bytes() == (tmp_path / "b.glb").read_bytes()
    whole, apart = (np.ptp(loaded(tmp_path / name).bounds, axis=0) for name in ("a.glb", "apart.glb"))
    assert all(apart > whole)


def test_the_section_is_drawn_full_size(job: Path, tmp_path: Path) -> None:
    run("model", job, "--out", tmp_path / "section.dxf")
    document = ezdxf.readfile(tmp_path / "section.dxf")
    layers = {entity.dxf.layer for entity in document.modelspace()}
    assert {"SIDE", "PANEL_CONTROL_DECK", "CLEAT", "NAME"} <= layers
    (deck,) = document.modelspace().query('LWPOLYLINE[layer=="PANEL_CONTROL_DECK"]')
    corners = [(x, y) for x, y, *_ in deck.get_points()]
    assert corners[0] == pytest.approx((610, 891.90), abs=0.01)


def test_a_model_of_an_unknown_kind_is_refused(job: Path, tmp_path: Path) -> None:
    told = CliRunner().invoke(main, ["model", str(job), "--out", str(tmp_path / "mill.obj")])
    assert told.exit_code == 2
    assert "no model is of this kind (.glb, .dxf, .html)" in told.stderr


def test_changes_say_what_to_cut_again_and_what_to_work_on(job: Path, tmp_path: Path) -> None:
    text = job.read_text(encoding="utf-8")
    new = tmp_path / "b.toml"
    for old, better in (
        ("length = 63.5", "length = 60"),
        ('name = "fan"', 'name = "ventilator"'),
        ('name = "wood glue"', 'name = "fish glue"'),
        ("size = [540, 90]", "size = [540, 80]"),
        (
            'name = "carrier tie"\nstock = "mdf 18"\nsize = [400, 100]',
            'name = "carrier tie"\nstock = "mdf 18"\nsize = [400, 100]\nhole = [{ centre = [200, 50], diameter = 8 }]',
        ),
    ):
        assert old in text
        text = text.replace(old, better)
    new.write_text(text, encoding="utf-8")
    lines = run("changes", job, new).splitlines()
    assert "recut  1 x nose rail: it is 604 x 60 instead of 604 x 63.5" in lines
    assert 'recut  1 x marquee frame: opening "sign" is 540 x 80 instead of 540 x 90' in lines
    assert 'rework 1 x carrier tie: hole "hole 1" is new' in lines
    assert not any("back upper" in line for line in lines)  # another name for the same opening is no change
    assert lines[-1] == "2 parts to cut"


def test_nothing_changed_is_nothing_to_cut(job: Path) -> None:
    assert run("changes", job, job).splitlines() == ["0 parts to cut"]


def test_new_and_gone_panels_and_more_copies_are_told(fixtures: Path, tmp_path: Path) -> None:
    job = fixtures / "jobs" / "loop_board.toml"
    text = job.read_text(encoding="utf-8")
    new = tmp_path / "b.toml"
    new.write_text(
        text.replace('name = "wall rail"', 'name = "second rail"').replace(
            'name = "top"\n', 'name = "top"\ncopies = 2\n'
        ),
        encoding="utf-8",
    )
    lines = run("changes", job, new).splitlines()
    assert "new    1 x top: 1 more of the same" in lines
    assert "new    1 x second rail" in lines
    assert "gone   1 x wall rail" in lines


def test_make_shows_the_whole_cabinet_in_its_folder_and_report(fixtures: Path, tmp_path: Path) -> None:
    run("make", fixtures / "cabinets" / "loop_board.toml", "--out", tmp_path / "loop", "--quiet")
    folder = tmp_path / "loop" / "cabinet"
    assert sorted(path.name for path in folder.iterdir()) == ["apart.glb", "cabinet.glb", "section.dxf"]
    report = (tmp_path / "loop" / "index.html").read_text(encoding="utf-8")
    assert "<h2>The whole cabinet</h2>" in report
    assert "1096 to 1096 above the floor" in report
    assert "designed towards, not a certificate" in report
