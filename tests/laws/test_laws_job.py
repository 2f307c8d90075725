"""However a job file is damaged, the answer is a job or a list of places and sentences, never a fault of ours."""

import tempfile
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from cncpanel.errors import ProblemsFound
from cncpanel.job.read import read_job

TEXTS = [
    path.read_text(encoding="utf-8")
    for path in sorted((Path(__file__).parents[2] / "fixtures" / "jobs").glob("*.toml"))
    if path.stem in ("millrace", "loop_board")
]
JUNK = st.sampled_from(
    [
        "{}",
        "[]",
        "[[]]",
        "-1",
        "0",
        "1e308",
        "nan",
        "inf",
        "true",
        '""',
        '"a * b"',
        '"board"',
        '"3/0 in"',
        "1979-05-27",
        "{ to = 3 }",
        "[1, 2]",
        "[[1, 2], 3, {}]",
        '{ file = "x" }',
        '"\\u0000"',
        "[true, {}]",
        str(10**400),
        "'((('",
    ]
)


def problems(text: str) -> tuple[str, ...]:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "job.toml"
        path.write_text(text, encoding="utf-8")
        try:
            read_job(path)
        except ProblemsFound as error:
            return tuple(map(str, error.problems))
    return ()


@given(st.sampled_from(TEXTS), st.data())
def test_a_value_replaced_by_junk_is_told_in_words(text: str, data: st.DataObject) -> None:
    lines = text.splitlines()
    places = [n for n, line in enumerate(lines) if " = " in line and not line.startswith(("#", " "))]
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.sampled_from(places))
        key, _, _ = lines[at].partition(" = ")
        lines[at] = f"{key} = {data.draw(JUNK)}"
    assert all("\n" not in problem for problem in problems("\n".join(lines)))


@given(st.sampled_from(TEXTS), st.data())
def test_a_file_cut_or_scrambled_anywhere_is_told_in_words(text: str, data: st.DataObject) -> None:
    begin = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(begin, min(len(text), begin + 400)))
    middle = data.draw(st.text("[]{}=\"'#\n.,\\ 1ax", max_size=8))
    assert all("\n" not in problem for problem in problems(text[:begin] + middle + text[end:]))
