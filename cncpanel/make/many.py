"""Many jobs, a folder each, over the cores: what is made of a job depends on it alone, however many run at once."""

from collections.abc import Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, replace
from multiprocessing import get_context
from pathlib import Path

from cncpanel.errors import Place, Problem, ProblemsFound
from cncpanel.errors.toml import read_toml
from cncpanel.job.saw_only import is_for_saw_only
from cncpanel.layout.alternatives import cores_here
from cncpanel.make.choice import Choice
from cncpanel.make.told_set import ToldSet, told_problems, told_set

NOT_USABLE = 2


@dataclass(frozen=True, slots=True)
class Task:
    """A job file and the folder that its set goes to."""

    job: Path
    out: Path


def tasks(jobs: Sequence[Path], out: Path) -> tuple[Task, ...]:
    """A folder for each job, called as its file, or as its folder and file where files share a name.

    Raises ProblemsFound where two would still be one.
    """
    stems = [job.stem for job in jobs]
    names = [f"{job.absolute().parent.name}-{job.stem}" if stems.count(job.stem) > 1 else job.stem for job in jobs]
    clashing = sorted({name for name in names if names.count(name) > 1})
    if clashing:
        raise ProblemsFound(
            Problem(Place(str(out)), f"two of the jobs would both be made in {name}", "give their files other names")
            for name in clashing
        )
    return tuple(Task(job, out / name) for job, name in zip(jobs, names, strict=True))


def each(given: Sequence[Task], choice: Choice, at_once: int) -> Iterator[ToldSet]:
    """Make every set; what came of each, in the order given. Jobs that draw on offcuts run one after the other."""
    if at_once < 2 or len(given) < 2 or choice.offcuts is not None or any(map(_draws, given)):
        yield from (one(task, choice) for task in given)
        return
    at_once = min(at_once, len(given))
    choice = replace(choice, cores=max(1, cores_here() // at_once))
    with ProcessPoolExecutor(at_once, mp_context=get_context("spawn")) as pool:
        futures = [pool.submit(one, task, choice) for task in given]
        try:
            yield from (_result(task, future) for task, future in zip(given, futures, strict=True))
        finally:
            pool.shutdown(wait=True, cancel_futures=True)


def _draws(task: Task) -> bool:
    """Whether the job names a store of offcuts: what it gets depends on who came before."""
    try:
        settings = read_toml(task.job).data.get("settings")
    except ProblemsFound:
        return False
    offcuts = settings.get("offcuts") if isinstance(settings, dict) else None
    return isinstance(offcuts, dict) and "file" in offcuts


def one(task: Task, choice: Choice) -> ToldSet:
    """Make one set; mistakes are told, not raised."""
    from cncpanel.make.make_into import make_into

    try:
        if choice.machine is None and is_for_saw_only(task.job):
            from cncpanel.make.saw_set import saw_into, told_sawn

            return told_sawn(str(task.job), saw_into(task.job, task.out, choice, _silent))
        made = make_into(task.job, task.out, choice, _silent)
    except ProblemsFound as found:
        return told_problems(str(task.job), found)
    return told_set(str(task.job), made)


def _result(task: Task, future: "Future[ToldSet]") -> ToldSet:
    try:
        return future.result()
    except BrokenProcessPool:
        text = "a process that made one of the jobs was ended from outside; this one was not made"
        return told_problems(str(task.job), ProblemsFound([Problem(Place(task.job.name), text, "run it again")]))


def _silent(text: str) -> None:
    """Progress within one of many jobs is not told."""
