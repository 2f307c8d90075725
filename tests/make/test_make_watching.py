"""A job judged again as its file is saved: the same findings as a fresh run, and only changed panels made anew."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from cncpanel.cli import main
from cncpanel.errors import ProblemsFound
from cncpanel.make import watching
from cncpanel.make.fit_flow import judge
from cncpanel.panel.kept import Kept
from cncpanel.panel.panel import Panel


@pytest.fixture
def job(fixtures: Path, tmp_path: Path) -> Path:
    path = tmp_path / "loop.toml"
    path.write_bytes((fixtures / "cabinets" / "loop_board.toml").read_bytes())
    return path


def edit(job: Path, old: str, new: str) -> None:
    text = job.read_text(encoding="utf-8")
    assert old in text
    job.write_text(text.replace(old, new), encoding="utf-8")


def panels(kept: Kept, job: Path) -> dict[int, Panel]:
    return dict(judge(job, kept).scene.panels)


def test_every_change_is_judged_as_by_a_fresh_run(job: Path) -> None:
    kept = Kept()
    judge(job, kept)
    for old, new in (("width = 440", "width = 470"), ("width = 470", "width = 450"), ("width = 450", "width = 440")):
        edit(job, old, new)
        assert [str(f) for f in judge(job, kept).findings] == [str(f) for f in judge(job).findings]


def test_only_changed_panels_are_resolved_anew(job: Path) -> None:
    kept = Kept()
    before = panels(kept, job)
    edit(job, "diameter = 5\n", "diameter = 6\n")
    after = panels(kept, job)
    new = [panel.name for index, panel in after.items() if panel is not before[index]]
    assert new == ["wall rail"]


def test_a_panels_warnings_and_mistakes_are_told_each_time(job: Path) -> None:
    kept = Kept()
    edit(job, "diameter = 5\n", "diameter = 500\n")
    told = []
    for _ in range(2):
        with pytest.raises(ProblemsFound) as found:
            judge(job, kept)
        told.append(str(found.value))
    assert told[0] == told[1] != ""


def test_watch_tells_findings_then_mistakes_then_findings_again(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    sound = job.read_text(encoding="utf-8")
    looks = iter([sound.replace("width = 440", "width = wide"), sound.replace('name = "Loop', 'name = "New Loop')])

    def wait(_: float) -> None:
        text = next(looks, None)
        if text is None:
            raise KeyboardInterrupt
        job.write_text(text, encoding="utf-8")

    original = watching.changes_of

    def changes_of(path: Path) -> Iterator[None]:
        return original(path, wait)

    monkeypatch.setattr(watching, "changes_of", changes_of)
    done = CliRunner().invoke(main, ["fit", str(job), "--watch", "--quiet"])
    assert done.exit_code == 0, done.output
    verdicts = [line for line in done.stdout.splitlines() if not line.startswith("look")]
    assert verdicts[0] == verdicts[-2] == "it fits"
    assert "not judged; waiting for the next change" in verdicts
    assert verdicts[-1] == "ended"
