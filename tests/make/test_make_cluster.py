"""Jobs on a cluster: every set whole and none twice, also where a worker is killed midway."""

import os
import signal
import time
from collections.abc import Iterator
from pathlib import Path
from threading import Thread
from typing import Any

import pytest
from many_samples import JOB

from cncpanel.errors import ProblemsFound
from cncpanel.make import cluster as cluster_module
from cncpanel.make.choice import Choice
from cncpanel.make.cluster import on_cluster
from cncpanel.make.many import each, tasks

TWO_COPIES = JOB + "copies = 2\n"
PLAIN = Choice(only=("programs", "dxf"))
COUNT = 6


@pytest.fixture
def cluster() -> Iterator[Any]:
    """Two worker processes, each of which is begun again when it dies."""
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, silence_logs=50
    ) as local:
        yield local


def content(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


@pytest.mark.slow
@pytest.mark.filterwarnings("default")
def test_every_set_is_whole_and_none_is_written_twice_though_a_worker_is_killed(
    cluster: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    jobs = [tmp_path / f"job{n}.toml" for n in range(COUNT)]
    for job in jobs:
        job.write_text(TWO_COPIES.replace("@NAME@", job.stem))
    (tmp_path / "broken.toml").write_text("[job")
    given = tasks([*jobs, tmp_path / "broken.toml"], tmp_path / "out")
    written: list[Path] = []
    write = cluster_module.write_folder
    monkeypatch.setattr(cluster_module, "write_folder", lambda out, files: (write(out, files), written.append(out)))

    nanny = next(iter(cluster.workers.values()))
    victim, state = nanny.pid, cluster.scheduler.workers[nanny.worker_address]
    in_hand: list[str] = []

    def kill() -> None:
        until = time.monotonic() + 120
        while not (written and state.processing) and time.monotonic() < until:
            time.sleep(0.01)
        in_hand.extend(task.key for task in tuple(state.processing))
        os.kill(victim, signal.SIGKILL)

    killer = Thread(target=kill)
    killer.start()
    outcomes = {Path(told.job).stem: told for told in on_cluster(given, PLAIN, cluster.scheduler_address)}
    killer.join()
    assert in_hand  # it died with a job begun or waiting
    assert not Path(f"/proc/{victim}").exists() or "Z" in Path(f"/proc/{victim}/stat").read_text().split()[2]
    assert {name: told.code for name, told in outcomes.items()} == {f"job{n}": 0 for n in range(COUNT)} | {"broken": 2}
    assert sorted(path.name for path in written) == [f"job{n}" for n in range(COUNT)]
    list(each(tasks(jobs, tmp_path / "here"), PLAIN, 1))
    assert content(tmp_path / "out") == content(tmp_path / "here")


def test_an_address_where_nobody_answers_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("distributed")
    monkeypatch.setattr(cluster_module, "REACHED", 0.5)
    (tmp_path / "job.toml").write_text(TWO_COPIES)
    with pytest.raises(ProblemsFound, match=r"--cluster: tcp://127.0.0.1:9 does not answer within 0.5 s"):
        list(on_cluster(tasks([tmp_path / "job.toml"], tmp_path / "out"), PLAIN, "tcp://127.0.0.1:9"))


def test_a_job_that_draws_on_offcuts_is_not_sent_away(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text(f'{TWO_COPIES}\n[settings.offcuts]\nfile = "o.toml"\n')
    with pytest.raises(ProblemsFound) as raised:
        list(on_cluster(tasks([tmp_path / "job.toml"], tmp_path / "out"), Choice(offcuts=Path("o.toml")), "nonsense"))
    assert [str(problem.place) for problem in raised.value.problems] == [
        "--cluster",
        "--offcuts",
        "job.toml:19: settings.offcuts.file",
    ]
