"""[values]: any order, rings, bombs, and mistakes told once."""

from pathlib import Path

import pytest

from cncpanel.errors import Gathering
from cncpanel.errors.toml import read_toml
from cncpanel.job.values import MOST_STEPS, Values, read_values


def read(folder: Path, text: str, unit: str = "mm") -> tuple[Values, list[str]]:
    path = folder / "job.toml"
    path.write_text("[values]\n" + text, encoding="utf-8")
    gathering = Gathering()
    values = read_values(read_toml(path), unit, gathering)  # type: ignore[arg-type]
    return values, [str(problem) for problem in gathering.found]


def test_values_may_stand_in_any_order(tmp_path: Path) -> None:
    values, problems = read(tmp_path, 'c = "a + b"\nb = "2 * a"\na = 5\n')
    assert problems == []
    assert {name: found.value for name, found in values.known.items()} == {"a": 5, "b": 10, "c": 15}


def test_a_chain_of_thousands_needs_no_recursion(tmp_path: Path) -> None:
    chain = "".join(f'v{n} = "v{n + 1} + 1"\n' for n in range(5000)) + "v5000 = 0\n"
    values, problems = read(tmp_path, chain)
    assert problems == []
    assert values.known["v0"].value == 5000


def test_two_rings_are_two_problems_and_what_hangs_on_them_is_silent(tmp_path: Path) -> None:
    _, problems = read(tmp_path, 'z = "a"\na = "b"\nb = "a"\nme = "me"\n')
    assert problems == [
        "job.toml:3: values.a: goes round in a ring: a -> b -> a",
        "job.toml:5: values.me: goes round in a ring: me -> me",
    ]


def test_a_bomb_of_products_is_computed_once_a_name(tmp_path: Path) -> None:
    bomb = "v0 = 1\n" + "".join(f'v{n} = "{"*".join([f"v{n - 1}"] * 60)}"\n' for n in range(1, 3000))
    values, problems = read(tmp_path, bomb)
    assert problems == []
    assert values.known["v2999"].value == 1


def test_a_bomb_of_lengths_is_refused_before_its_powers_grow(tmp_path: Path) -> None:
    bomb = 'v0 = "1 mm"\n' + "".join(f'v{n} = "v{n - 1} * v{n - 1}"\n' for n in range(1, 300))
    _, problems = read(tmp_path, bomb)
    assert problems == ["job.toml:6: values.v4: the result is too large"]


def test_arithmetic_beyond_any_job_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert MOST_STEPS <= 1_000_000
    monkeypatch.setattr("cncpanel.job.values.MOST_STEPS", 10_000)
    values, _ = read(tmp_path, "a = 1\n")
    long = "a" + "+a" * 240
    for _ in range(10_000 // 481):
        values.length(long)
    with pytest.raises(ValueError, match="more arithmetic than a job may hold"):
        values.length(long)


def test_a_length_comes_out_in_millimetres_and_a_count_as_a_number(tmp_path: Path) -> None:
    values, _ = read(tmp_path, 'wide = 2\nthick = "18 mm"\n', "inch")
    assert pytest.approx(values.length("wide")) == 50.8
    assert pytest.approx(values.length("thick")) == 18.0
    assert values.length(1) == 25.4
    assert values.number("wide + 1") == 3
    assert isinstance(values.number("3 * (1 / 3)"), int)


def test_a_bare_number_and_a_length_disagree_on_where_they_may_stand(tmp_path: Path) -> None:
    values, _ = read(tmp_path, 'thick = "18 mm"\n')
    with pytest.raises(ValueError, match='"thick" is a length where a plain number is needed'):
        values.number("thick")
    with pytest.raises(ValueError, match='"sin\\(9\\)" is a plain number where a length is needed'):
        values.length("sin(9)")
    with pytest.raises(ValueError, match="a number is needed, not true or false"):
        values.length(True)
