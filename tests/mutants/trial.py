"""Mutants tried in forked processes of one pytest that has collected its tests: nothing is imported twice.

Each process puts the changed code into the function and runs only the tests that reach it. What is no function's body
is tried by a fresh pytest in a copy of the tree of its own.
"""

import contextlib
import os
import re
import resource
import shutil
import signal
import sys
import time
import traceback
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

import pytest
from mutant import Mutant, files
from put_in import put_in
from reach import OPTIONS, Lines, Reach, chosen, patience, within

TEST_SECONDS = 75.0  # a mutant's tests together, as measured
SLOWER = 4.0  # a test that takes so many times what it took, and GRACE more, hangs
GRACE = 5.0  # s
PAUSE = 0.02  # s
MEMORY = 6 * 2**30  # bytes of address space
SURVIVED, KILLED, LATE, NOT_REACHED, NO_VERDICT = "survived", "killed", "timed out", "not reached", "no verdict"
HANGS, BROKEN = 7, 9
FAILED = "FAILED "
# pytest's own codes, and ours for a test that hangs; a processor's limit ends a process by a signal
EXITS = {0: SURVIVED, 1: KILLED, 2: KILLED, 4: KILLED, HANGS: LATE, -signal.SIGXCPU: LATE, -signal.SIGKILL: LATE}
NAME = re.compile(r"[A-Za-z_]\w*")


@dataclass(slots=True)
class Trial:
    """A mutant being tried: its process, and when that is ended from outside."""

    mutant: Mutant | None  # None changes nothing: its tests must pass
    pid: int
    until: float
    log: Path


class Trials:
    """A pytest plugin: instead of the tests' loop, a process for each mutant."""

    def __init__(self, mutants: list[Mutant], reach: dict[str, Reach], tree: Path, processes: int) -> None:
        self.mutants, self.reach, self.tree, self.processes = mutants, reach, tree, processes
        self.users, self.patience = _users(tree), patience(reach)
        self.verdicts: dict[Mutant, str] = {}
        self.sound = False

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """In a mutant's process: the first failure is enough."""
        if report.failed:
            print(f"\n{FAILED}{report.nodeid}", report.longreprtext[-2000:], flush=True)
            os._exit(1)

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """In the first process: the control, then the mutants."""
        items = {item.nodeid: item for item in session.items}
        control = self._begun(None, within(TEST_SECONDS, self.reach), items, 0)
        while (ended := _ended(control)) is None:
            time.sleep(PAUSE)
        self.sound = ended[0] == SURVIVED
        if self.sound:
            self._try_all(items)
        else:
            print(control.log.read_text("utf-8", "replace"))
        return True

    def _try_all(self, items: dict[str, pytest.Item]) -> None:
        waiting, running = list(reversed(self.mutants)), dict[int, Trial]()
        while waiting or running:
            for place in set(range(self.processes)) - set(running):
                if waiting:
                    mutant = waiting.pop()
                    if tests := chosen(mutant, self.reach, self.users, TEST_SECONDS):
                        running[place] = self._begun(mutant, tests, items, place)
                    else:
                        self._told(mutant, NOT_REACHED, 0.0)
            for place, trial in list(running.items()):
                if trial.mutant and (ended := _ended(trial)):
                    del running[place]
                    self._told(trial.mutant, *ended, trial.log)
            time.sleep(PAUSE)

    def _log(self, place: int) -> Path:
        return self.tree.parent / f"{place}.log"

    def _told(self, mutant: Mutant, verdict: str, seconds: float, log: Path | None = None) -> None:
        self.verdicts[mutant] = verdict
        said = log.read_text("utf-8", "replace") if log else ""
        by = next((line for line in said.splitlines() if line.startswith(FAILED)), "")
        print(
            f"{len(self.verdicts):4} {verdict:11} {seconds:5.1f} s {mutant.file}:{mutant.first} {by}", file=sys.stderr
        )

    def _begun(self, mutant: Mutant | None, tests: list[str], items: dict[str, pytest.Item], place: int) -> Trial:
        limit = (
            SLOWER * (sum(self.reach[test].seconds for test in tests) + max(self.patience[test] for test in tests))
            + GRACE
        )
        sys.stdout.flush()
        sys.stderr.flush()
        if pid := os.fork():
            return Trial(mutant, pid, time.monotonic() + 60 + 4 * limit, self._log(place))
        try:
            self._child(mutant, [items[test] for test in tests], limit, place)
        finally:
            traceback.print_exc()
            os._exit(BROKEN)

    def _child(self, mutant: Mutant | None, items: list[pytest.Item], limit: float, place: int) -> NoReturn:
        os.setsid()
        log = os.open(self._log(place), os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
        os.dup2(log, 1)
        os.dup2(log, 2)
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        resource.setrlimit(resource.RLIMIT_CPU, (int(limit), int(limit) + 5))
        if mutant and not put_in(mutant, self.tree):
            self._fresh(mutant, [item.nodeid for item in items], place)
        signal.signal(signal.SIGPROF, lambda *_: os._exit(HANGS))
        for item, following in zip(items, [*items[1:], None], strict=True):
            signal.setitimer(signal.ITIMER_PROF, SLOWER * self.patience[item.nodeid] + GRACE)
            _without_shrinking(item)
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
        os._exit(0)

    def _fresh(self, mutant: Mutant, tests: list[str], place: int) -> NoReturn:
        """The same tests by a pytest of its own, in a copy of the tree that has the changed file."""
        copy = self.tree.parent / f"copy-{place}"
        shutil.rmtree(copy, ignore_errors=True)
        shutil.copytree(self.tree, copy, symlinks=True)
        (copy / mutant.file).write_text(mutant.code(self.tree), "utf-8")
        os.chdir(copy)
        base = f"--basetemp={copy}/tmp"
        environment = os.environ | {"PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1"}
        os.execve(sys.executable, [sys.executable, "-m", "pytest", *OPTIONS, "-rf", "-x", base, *tests], environment)


def _ended(trial: Trial) -> tuple[str, float] | None:
    """The verdict and the processor's seconds of a trial that is over; its children are ended with it."""
    late = time.monotonic() > trial.until
    pid, status, usage = os.wait4(trial.pid, 0 if late and _end(trial.pid) else os.WNOHANG)
    if not pid:
        return None
    _end(trial.pid)
    code = os.waitstatus_to_exitcode(status)
    verdict = EXITS.get(code, KILLED if code < 0 else NO_VERDICT)
    if verdict == NO_VERDICT:
        print(trial.log.read_text("utf-8", "replace")[-3000:], file=sys.stderr)
    return LATE if late else verdict, usage.ru_utime + usage.ru_stime


def _end(pid: int) -> bool:
    with contextlib.suppress(ProcessLookupError, PermissionError):
        os.killpg(pid, signal.SIGKILL)
    return True


def _without_shrinking(item: pytest.Item) -> None:
    """A law's first failure is enough: no search for the smallest."""
    from hypothesis import Phase, settings

    law = getattr(item, "obj", None)
    if hasattr(law, "_hypothesis_internal_use_settings"):
        own = law._hypothesis_internal_use_settings
        law._hypothesis_internal_use_settings = settings(own, phases=(Phase.explicit, Phase.generate))


def _users(tree: Path) -> dict[str, Lines]:
    """The lines on which a name stands, by name and file."""
    found: dict[str, Lines] = {}
    for file in files(tree):
        for number, line in enumerate((tree / file).read_text("utf-8").splitlines(), 1):
            for name in set(NAME.findall(line)):
                found.setdefault(name, {}).setdefault(file, set()).add(number)
    return found
