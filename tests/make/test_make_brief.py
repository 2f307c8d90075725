"""A new job from a brief: files beside each other, sound for `fit`; wishes that cannot be met are told."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from cncpanel.cli import main

BRIEFS = {
    "upright": 'use = "standing"\nscreen = 23.8\nsticks = true\nbuttons = 6\ndoorway = 700\n',
    "pedestal": 'use = "standing"\nform = "pedestal"\nscreen = 15.6\n',
    "wall box": 'use = "wall"\nscreen = 15.6\nboard = { thickness = 12, material = "plywood" }\n',
    "table-top": 'use = "table"\nscreen = 13.3\nbuttons = 3\nboard = { thickness = 9, material = "plywood" }\n',
}


def brief(folder: Path, text: str) -> Path:
    path = folder / "brief.toml"
    path.write_text(f'[brief]\nname = "Story Post"\n{text}', encoding="utf-8")
    return path


@pytest.mark.parametrize("form", BRIEFS)
def test_a_brief_gives_a_job_that_fits(tmp_path: Path, form: str) -> None:
    job = tmp_path / "post.toml"
    made = CliRunner().invoke(main, ["new", str(job), "--from", str(brief(tmp_path, BRIEFS[form]))])
    assert made.exit_code == 0, made.output
    assert job.read_text(encoding="utf-8").startswith(f"# {form} for: Story Post\n")
    assert (tmp_path / "post_parts.toml").exists()
    judged = CliRunner().invoke(main, ["fit", str(job)])
    assert (judged.exit_code, judged.stdout.splitlines()[-1]) == (0, "it fits")


def test_wishes_that_cannot_be_met_are_all_told_and_nothing_is_written(tmp_path: Path) -> None:
    wishes = brief(tmp_path, 'use = "wall"\nscreen = 40\nsticks = true\n')
    made = CliRunner().invoke(main, ["new", str(tmp_path / "post.toml"), "--from", str(wishes)])
    assert made.exit_code == 2
    assert "brief.toml:4: brief.screen: a 40 in screen is not for the wall box form (9 to 32)" in made.stderr
    assert "brief.toml:5: brief.sticks: a stick needs a deck, and the wall box form has none" in made.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["brief.toml"]


def test_a_doorway_that_nothing_goes_through_is_a_wish_that_cannot_be_met(tmp_path: Path) -> None:
    wishes = brief(tmp_path, "screen = 32\nbuttons = 6\nplayers = 2\ndoorway = 600\n")
    made = CliRunner().invoke(main, ["new", str(tmp_path / "post.toml"), "--from", str(wishes)])
    assert made.exit_code == 2
    assert "cannot be met: doorway: " in made.stderr
    assert "does not go through 600 clear in any way" in made.stderr


def test_a_wrong_brief_is_told_with_its_lines(tmp_path: Path) -> None:
    wishes = brief(tmp_path, 'screen = "large"\ncolour = "red"\naspect = "3:2"\n')
    made = CliRunner().invoke(main, ["new", str(tmp_path / "post.toml"), "--from", str(wishes)])
    assert made.exit_code == 2
    assert "brief.toml:3: brief.screen" in made.stderr
    assert "brief.toml:4: brief.colour: unknown key" in made.stderr
    assert "brief.toml:5: brief.aspect" in made.stderr


def test_wishes_may_be_answered_at_a_prompt(tmp_path: Path) -> None:
    answers = "Story Post\nwall\n15.6\n16:9\n1\n4\n0\n12\n"
    made = CliRunner().invoke(main, ["new", str(tmp_path / "post.toml"), "--ask"], input=answers)
    assert made.exit_code == 0, made.output
    assert (tmp_path / "post.toml").exists()
