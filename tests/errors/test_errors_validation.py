"""pydantic's findings in our own words: unions give one problem a key, unknown keys a suggestion."""

from pathlib import Path
from typing import Literal

import pytest
from pydantic import BaseModel, ConfigDict, Field, ValidationError

from cncpanel.errors.toml import problems_from_validation, read_toml


class Leg(BaseModel):
    model_config = ConfigDict(extra="forbid")
    length: float = Field(gt=0, le=900)
    kind: Literal["round", "square"] = "round"


class Table(BaseModel):
    model_config = ConfigDict(extra="forbid")
    name: str = Field(min_length=2, max_length=8, pattern="^[a-z]+$")
    leg: tuple[Leg | tuple[float, float], ...] = ()
    seats: int = 4
    spread: tuple[float, float] = (1, 2)
    either: int | list[int] = 1


def problems(folder: Path, text: str, *, hinted: bool = True) -> list[str]:
    path = folder / "t.toml"
    path.write_text(text, encoding="utf-8")
    file = read_toml(path)
    with pytest.raises(ValidationError) as raised:
        Table.model_validate(file.data)
    return [str(problem) for problem in problems_from_validation(raised.value, file, Table if hinted else None)]


def test_limits_choices_and_lengths_say_what_is_allowed(tmp_path: Path) -> None:
    assert [
        p.removeprefix("t.toml:4: ")
        for p in problems(tmp_path, 'name = "x"\n[[leg]]\nlength = 0\nkind = "rond"\n[[leg]]\nlength = 901\n')
    ] == [
        "t.toml:1: name: has 1 character (at least 2)",
        "t.toml:3: leg[0].length: 0 is too small (more than 0)",
        'leg[0].kind: "rond" is not known (round, square)',
        "t.toml:6: leg[1].length: 901 is too large (at most 900)",
    ]


def test_a_union_gives_the_problems_of_the_branch_that_fits_best(tmp_path: Path) -> None:
    assert problems(tmp_path, 'name = "oak"\nleg = [{ lenght = 3 }]\neither = [1, "x"]\n') == [
        't.toml:2: leg[0].lenght: unknown key (did you mean "length"?)',
        "t.toml:2: leg[0].length: missing",
        't.toml:3: either[1]: a whole number is needed, not "x"',
    ]


def test_wrong_kinds_are_named(tmp_path: Path) -> None:
    assert problems(tmp_path, "name = 3\nleg = 3\nseats = 4.5\nspread = [1]\nchairs = 2\n") == [
        "t.toml:1: name: a text is needed, not a number",
        "t.toml:2: leg: a list is needed, not a number",
        "t.toml:3: seats: 4.5 is not a whole number",
        "t.toml:4: spread: has 1 value (2 are needed)",
        "t.toml:5: chairs: unknown key (name, leg, seats, spread, either)",
    ]


def test_without_a_model_an_unknown_key_has_no_suggestion(tmp_path: Path) -> None:
    assert problems(tmp_path, 'name = "oak"\nseat = 2\n', hinted=False) == ["t.toml:2: seat: unknown key"]


def test_a_long_or_odd_text_is_shown_short_and_on_one_line(tmp_path: Path) -> None:
    found = problems(tmp_path, 'name = "oak"\nseats = "' + "x\\n" * 100 + '"\n')
    assert [f't.toml:2: seats: a whole number is needed, not "{"x " * 18}x..."'] == found
