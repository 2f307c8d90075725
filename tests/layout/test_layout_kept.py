"""A layout kept beside the job is used while the parts are the same, and told when they are not."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from layout_samples import plain_panel

from cncpanel.errors import Gathering
from cncpanel.geometry.shape import rectangle
from cncpanel.layout.kept import fingerprint, layout_of, layout_text
from cncpanel.layout.place import lay_out
from cncpanel.make.arrange import keep_layout, kept_path
from cncpanel.make.choice import Choice
from cncpanel.make.flow import prepare

PANELS = [plain_panel(0, rectangle(0, 0, 400, 300), copies=2), plain_panel(1, rectangle(0, 0, 90, 80), mirrored=1)]
JOB = """\
[job]
name = "Shelf"
machine = "shop-router"

[[stock]]
name = "ply 18"
material = "plywood"
thickness = 18
sheet = [1200, 800]
count = 1

[[panel]]
name = "board"
stock = "ply 18"
size = [300, 200]
copies = 2
"""


def told(text: str) -> None:
    """Nobody listens."""


def test_what_is_read_back_is_what_was_kept() -> None:
    layout = lay_out(PANELS, 8, Gathering())
    parts = fingerprint(PANELS, 8, {})
    read = layout_of(layout_text(layout, parts), PANELS, parts)
    assert read is not None
    assert (read.sheets, read.packed, read.gap, read.kept) == (layout.sheets, layout.packed, layout.gap, True)


@pytest.mark.parametrize("text", ["", "{", "[]", '{"made_by": "somebody"}', '{"made_by": "cncpanel layout"}'])
def test_a_file_that_holds_no_layout_is_none(text: str) -> None:
    assert layout_of(text, PANELS, "") is None


def test_the_fingerprint_tells_other_outlines_counts_gaps_and_turns() -> None:
    others = [
        [plain_panel(0, rectangle(0, 0, 400.001, 300), copies=2), PANELS[1]],
        [plain_panel(0, rectangle(0, 0, 400, 300), copies=3), PANELS[1]],
        [plain_panel(0, rectangle(0, 0, 400, 300), copies=2, turn="along"), PANELS[1]],
    ]
    prints = {fingerprint(panels, 8, {}) for panels in [PANELS, *others]} | {fingerprint(PANELS, 9, {})}
    assert len(prints) == 5


def test_a_kept_layout_is_used_and_a_stale_one_is_told_and_left(tmp_path: Path) -> None:
    job = tmp_path / "shelf.toml"
    job.write_text(JOB)
    first = prepare(job, Choice(), told)
    keep_layout(job, first.layout, first.read, first.panels, first.plans)
    again = prepare(job, Choice(), told)
    assert (first.layout.kept, again.layout.kept) == (False, True)
    assert again.layout.sheets == first.layout.sheets
    assert prepare(job, Choice(anew=True), told).layout.kept is False

    job.write_text(JOB.replace("[300, 200]", "[301, 200]"))
    stale = prepare(job, Choice(), told)
    assert stale.layout.kept is False
    assert [str(warning) for warning in stale.gathering.warnings] == [
        f"{kept_path(job)}: warning: was kept for other parts, stock or tools and is not used "
        "(lay out anew and keep that, or delete the file)"
    ]
    assert sorted(path.name for path in tmp_path.iterdir()) == ["shelf.layout.json", "shelf.toml"]


def _part(data: dict, number: int = 0) -> dict:
    return data["sheets"][0]["parts"][number]


@pytest.mark.parametrize(
    "edited",
    [
        lambda data: _part(data).update(x=float("nan")),
        lambda data: _part(data).update(x="10"),
        lambda data: _part(data).update(x=-300.0),
        lambda data: _part(data).update(panel=-1),
        lambda data: _part(data).update(panel="0"),
        lambda data: _part(data).update(name="another"),
        lambda data: _part(data).update(copy=77),
        lambda data: _part(data, 1).update(x=_part(data)["x"], y=_part(data)["y"]),
        lambda data: data.update(gap=0.0),
        lambda data: data.update(seed=float("inf")),
        lambda data: data.update(seconds="long"),
        lambda data: data["packed"][0].update(sheets="x"),
        lambda data: data["packed"][0]["bound"].update(cost=None),
    ],
)
def test_a_kept_layout_that_somebody_edited_is_told_and_left(tmp_path: Path, edited: Callable[[dict], None]) -> None:
    job = tmp_path / "shelf.toml"
    job.write_text(JOB)
    first = prepare(job, Choice(), told)
    keep_layout(job, first.layout, first.read, first.panels, first.plans)
    data = json.loads(kept_path(job).read_text())
    edited(data)
    kept_path(job).write_text(json.dumps(data))
    again = prepare(job, Choice(), told)
    assert again.layout.kept is False
    assert again.layout.sheets == first.layout.sheets
    assert "was kept for other parts" in str(again.gathering.warnings[0])


def test_a_kept_layout_nested_beyond_reason_is_left(tmp_path: Path) -> None:
    job = tmp_path / "shelf.toml"
    job.write_text(JOB)
    kept_path(job).write_text("[" * 100_000)
    assert prepare(job, Choice(), told).layout.kept is False
