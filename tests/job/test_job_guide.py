"""The guide to the job file: every example in it is read and judged, tools and sheets chosen, without a mistake."""

import re
from functools import cache
from pathlib import Path

import pytest

from cncpanel.errors import ProblemsFound
from cncpanel.job import keys
from cncpanel.make.choice import Choice
from cncpanel.make.flow import make, prepare

GUIDE = Path(keys.__file__).with_name("guide.md")
TOO_DEEP = """
[[panel]]
name = "a"
stock = "mdf18"
size = [90, 90]
recess = [{ size = [40, 40], centre = [45, 45], depth = 17 }]
"""


@cache
def examples() -> dict[str, str]:
    """Heading -> example, the first of them a whole job."""
    found: dict[str, str] = {}
    heading = ""
    for title, block in re.findall(r"^## ([^\n]+)$|^```toml\n(.*?)^```$", GUIDE.read_text(), re.MULTILINE | re.DOTALL):
        heading = title or heading
        if block:
            found[f"{heading} {sum(key.startswith(heading) for key in found) + 1}"] = block
    return found


def whole_job(example: str) -> str:
    """An example as a job: the first one's head and stock before it, its own panel if it has none."""
    first = next(iter(examples().values()))
    if example == first:
        return first
    head, panel = first.split("[[panel]]")
    return head + example + ("" if "[[panel]]" in example else f"\n[[panel]]{panel}")


@pytest.mark.parametrize("title", examples())
def test_every_example_is_a_sound_job(title: str, tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_text(whole_job(examples()[title]))
    prepared = prepare(job, Choice(), lambda _: None)
    assert prepared.layout.sheets
    assert [] == [str(problem) for problem in prepared.gathering.found if "artwork" not in str(problem)]


@pytest.mark.slow
@pytest.mark.parametrize("title", examples())
def test_every_example_is_cut_and_proven(title: str, tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_text(whole_job(examples()[title]))
    made = make(job, Choice(), lambda _: None)
    assert (True, True) == (made.passed, bool(made.sheets))


def test_every_table_of_a_panel_has_an_example() -> None:
    text = GUIDE.read_text()
    of_a_panel = {table.path.split(".")[1] for table in keys.job_keys() if table.path.startswith("panel.")}
    assert of_a_panel > {"opening", "groove", "edge"}
    assert [] == [name for name in sorted(of_a_panel - {"fitting"}) if not re.search(rf"\b{name}\b", text)]


def test_the_mistake_in_the_guide_is_told_as_it_says(tmp_path: Path) -> None:
    head = whole_job("").split("[[panel]]")[0]
    job = tmp_path / "box.toml"
    job.write_text(head + TOO_DEEP)
    with pytest.raises(ProblemsFound) as raised:
        prepare(job, Choice(), lambda _: None)
    (told,) = str(raised.value).splitlines()
    shown = re.search(r"^```text\n(.*)$", GUIDE.read_text(), re.MULTILINE)
    assert shown
    assert told == shown[1]
