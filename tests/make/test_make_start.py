"""What is loaded to start: the heavy libraries of what is not asked for stay away."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
HELPED = """
import sys
from click.testing import CliRunner
from cncpanel.cli import main
result = CliRunner().invoke(main, sys.argv[1:])
assert not result.exit_code, result.output
"""
READ = """
import sys
from pathlib import Path
import cncpanel.make.flow
from cncpanel.job.read import read_job
read_job(Path(sys.argv[1]))
"""
TOLD = 'print(*sorted({name.partition(".")[0] for name in sys.modules}))'
JOB = """
[job]
name = "Ledge"
machine = "shop-router"

[[stock]]
name = "mdf"
material = "mdf"
thickness = 12
sheet = [300, 200]
count = 1

[[panel]]
name = "ledge"
stock = "mdf"
size = [100, 60]
"""


def loaded(program: str, *arguments: str | Path) -> set[str]:
    """The top-level modules that are there once the program has run."""
    command = [sys.executable, "-c", program + TOLD, *map(str, arguments)]
    return set(subprocess.run(command, check=True, capture_output=True, text=True).stdout.split())


@pytest.mark.parametrize("arguments", [["--help"], ["check", "--help"], ["make", "--help"], ["machines", "--help"]])
def test_help_loads_nothing_that_reckons(arguments: list[str]) -> None:
    assert {"numpy", "shapely", "pydantic", "ezdxf", "reportlab"} & loaded(HELPED, *arguments) == set()


def test_the_reader_of_drawings_is_loaded_only_for_a_job_that_refers_to_one(tmp_path: Path) -> None:
    sized, drawn = tmp_path / "sized.toml", ROOT / "fixtures" / "jobs" / "trail_plaque.toml"
    sized.write_text(JOB, encoding="utf-8")
    assert {"ezdxf", "trimesh", "distributed"} & loaded(READ, sized) == set()
    assert "ezdxf" in loaded(READ, drawn)
