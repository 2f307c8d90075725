"""Jobs on a cluster, one job a task and nothing shared: a parcel goes out, the whole set comes back as bytes.

Only the caller writes: each set is put in its folder once and in one step. A task whose worker dies is run again
elsewhere by the cluster; a set is made the same wherever and however often.
"""

import re
from collections.abc import Iterator, Sequence
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from cncpanel import __version__
from cncpanel.errors import Gathering, Place, Problem, ProblemsFound
from cncpanel.make.choice import Choice
from cncpanel.make.folder import refuse_foreign, write_folder
from cncpanel.make.many import Task
from cncpanel.make.parcel import MadeSet, Parcel, made_of, packed, refuse_store
from cncpanel.make.told_set import ToldSet, told_problems

if TYPE_CHECKING:
    from distributed import Client, Future

ADDRESS = re.compile(r"([a-z]+://)?[^\s/]+:\d{1,5}/?")
SCHEDULER = "a scheduler's address, such as tcp://10.0.0.5:8786"
REACHED = 10.0  # s in which the address must answer
RETRIES = 2  # of a task that an error on its worker ended; workers that die are the cluster's own count
AHEAD = 3  # tasks in hand for each worker's thread, so that thousands of jobs do not fill the memory


def on_cluster(given: Sequence[Task], choice: Choice, address: str) -> Iterator[ToldSet]:
    """Make every set; what came of each, as they come in. Raises ProblemsFound where there is no cluster."""
    _refuse(given, choice, address)
    with _client(address) as client:
        yield from _results(client, given, choice, address)


def _refuse(given: Sequence[Task], choice: Choice, address: str) -> None:
    gathering = Gathering()
    if not ADDRESS.fullmatch(address):
        gathering.problem(Place("--cluster"), f'"{address}" is no address', SCHEDULER)
    if choice.offcuts is not None:
        text = "offcuts cannot be drawn on from a cluster: nothing is shared there"
        gathering.problem(Place("--offcuts"), text, "leave out one of the two")
    for task in given:
        try:
            refuse_store(task.job, gathering)
            refuse_foreign(task.out)
        except ProblemsFound as found:
            gathering.found += found.problems
    gathering.stop_if_any()


def _client(address: str) -> "Client":
    try:
        from distributed import Client
    except ImportError as error:
        text = "the library for clusters is not installed"
        raise ProblemsFound([Problem(Place("--cluster"), text, "pip install 'cncpanel[cluster]'")]) from error
    try:
        client = Client(address, timeout=REACHED, set_as_default=False)
    except (OSError, ValueError) as error:
        text = f"{address} does not answer within {REACHED:g} s"
        raise ProblemsFound([Problem(Place("--cluster"), text, SCHEDULER)]) from error
    if not client.nthreads():
        client.close()
        raise ProblemsFound([Problem(Place("--cluster"), f"{address} has no workers", "start some, then try again")])
    return client


def _results(client: "Client", given: Sequence[Task], choice: Choice, address: str) -> Iterator[ToldSet]:
    from distributed import as_completed

    parcels, unusable = _parcels(given, choice)
    yield from unusable
    sent: dict[str, Task] = {}
    ahead = AHEAD * sum(client.nthreads().values())
    coming: Any = as_completed([_sent(client, *each, sent) for each in islice(parcels, ahead)], loop=client.loop)
    for future in coming:
        yield _outcome(future, sent.pop(future.key), address)
        future.release()
        for each in islice(parcels, 1):
            coming.add(_sent(client, *each, sent))


def _parcels(given: Sequence[Task], choice: Choice) -> tuple[Iterator[tuple[Task, Parcel]], list[ToldSet]]:
    """Those that can be read, packed when their turn comes; what is wrong with the others."""
    unusable, usable = [], []
    for task in given:
        try:
            packed(task.job, choice)
            usable.append(task)
        except ProblemsFound as found:
            unusable.append(told_problems(str(task.job), found))
    return ((task, packed(task.job, choice)) for task in usable), unusable


def _sent(client: "Client", task: Task, parcel: Parcel, sent: dict[str, Task]) -> "Future[MadeSet]":
    key = f"cncpanel-{uuid4().hex}"
    sent[key] = task
    return client.submit(made_of, parcel, key=key, pure=False, retries=RETRIES)


def _outcome(future: "Future[MadeSet]", task: Task, address: str) -> ToldSet:
    from distributed.client import FutureCancelledError
    from distributed.scheduler import KilledWorker

    try:
        return _placed(future.result(), task)
    except KilledWorker:
        return _lost(task, "every worker that took this job died", "make it here, without --cluster")
    except ModuleNotFoundError as error:
        return _lost(task, f"a worker lacks {error.name}", "install cncpanel on every worker")
    except FutureCancelledError as error:
        text = f"{address} was lost on the way; the sets told of so far are whole"
        raise ProblemsFound([Problem(Place("--cluster"), text, "run again the jobs that are missing")]) from error


def _lost(task: Task, text: str, allowed: str) -> ToldSet:
    return told_problems(str(task.job), ProblemsFound([Problem(Place(task.job.name), text, allowed)]))


def _placed(result: MadeSet, task: Task) -> ToldSet:
    """The set put in its folder, all or nothing."""
    if result.version != __version__:
        text = f"was made by version {result.version} on a worker; here is {__version__}"
        return _lost(task, text, "one version on all")
    if result.files:
        try:
            write_folder(Path(task.out), result.files)
        except ProblemsFound as found:
            return told_problems(str(task.job), found)
    return result.told
