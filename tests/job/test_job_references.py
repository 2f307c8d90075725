"""DXF references: found wherever a shape may stand, and kept to the job's own folder."""

from pathlib import Path

import ezdxf
import pytest

from cncpanel.errors import ProblemsFound
from cncpanel.job.program_name import program_name
from cncpanel.job.read import read_job

HEAD = """[job]
name = "x"
machine = "shop-router"
[[stock]]
name = "s"
material = "mdf"
thickness = 18
sheet = [2440, 1220]
count = 1
[[panel]]
name = "p"
stock = "s"
"""


def square(path: Path, side: float) -> Path:
    document = ezdxf.new("R2010", units=ezdxf.units.MM)
    document.modelspace().add_lwpolyline([(0, 0), (side, 0), (side, side), (0, side)], close=True)
    path.parent.mkdir(parents=True, exist_ok=True)
    document.saveas(path)
    return path


def job(folder: Path, text: str) -> Path:
    path = folder / "job.toml"
    path.write_text(HEAD + text, encoding="utf-8")
    return path


def test_a_reference_is_found_at_every_place_of_a_shape(tmp_path: Path) -> None:
    square(tmp_path / "drawn" / "a.dxf", 50)
    dxf = 'dxf = { file = "drawn/a.dxf" }\n'
    opening = f"[[panel.opening]]\n{dxf}"
    grille = f"[[panel.grille]]\n{dxf}holes = {{ diameter = 5, pitch = 9 }}\n"
    step = f"[[panel.recess.step]]\ndepth = 6\n{dxf}"
    recess = f"[[panel.recess]]\ndepth = 4\n{dxf}{step}[[panel.recess.island]]\n{dxf}"
    read = read_job(job(tmp_path, dxf + opening + grille + recess))
    assert set(read.shapes) == {
        ("panel", 0, "dxf"),
        ("panel", 0, "opening", 0, "dxf"),
        ("panel", 0, "grille", 0, "dxf"),
        ("panel", 0, "recess", 0, "dxf"),
        ("panel", 0, "recess", 0, "step", 0, "dxf"),
        ("panel", 0, "recess", 0, "island", 0, "dxf"),
    }
    for shapes in read.shapes.values():
        assert [shape.outer.area for shape in shapes] == pytest.approx([2500])


def test_a_link_that_leads_out_of_the_folder_is_outside(tmp_path: Path) -> None:
    square(tmp_path / "elsewhere" / "a.dxf", 50)
    folder = tmp_path / "job"
    folder.mkdir()
    (folder / "a.dxf").symlink_to(tmp_path / "elsewhere" / "a.dxf")
    with pytest.raises(ProblemsFound) as raised:
        read_job(job(folder, 'dxf = { file = "a.dxf" }\n'))
    (problem,) = raised.value.problems
    assert str(problem.place) == "job.toml:13: panel[0].dxf.file"
    assert problem.text == '"a.dxf" lies outside the job\'s folder'


def test_a_job_folder_that_is_itself_a_link_is_no_trouble(tmp_path: Path) -> None:
    square(tmp_path / "real" / "a.dxf", 50)
    (tmp_path / "link").symlink_to(tmp_path / "real")
    assert read_job(job(tmp_path / "link", 'dxf = { file = "a.dxf" }\n')).shapes


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("front", "FRONT"),
        ("Lower front (2)", "LOWER FRONT -2-"),
        ("Tür, groß", "TUR- GROSS"),
        ("Kløver", "KLOVER"),
        ("MSG, stop", "_MSG- STOP"),
        ("msg", "_MSG"),
        ("a%\x07b\t c", "A-B C"),
        ("a_b-c", "A_B-C"),
        ("ﬁne²", "FINE2"),
        ("前面", ""),
        (" (-_-) ", ""),
    ],
)
def test_a_name_in_a_program_is_letters_digits_and_little_else(name: str, expected: str) -> None:
    assert program_name(name) == expected
