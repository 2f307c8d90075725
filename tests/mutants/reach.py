"""Which test runs which line, and for how long: gathered with coverage's contexts, kept until something changes."""

import os
import pickle
import subprocess
import sys
import time
from collections import defaultdict
from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

import pytest
from coverage import Coverage
from mutant import Mutant, files

FOLDERS = ("geometry", "passes", "proof", "wanted", "sequence", "outside")
FILES = {
    "make": ("restart", "screws", "skin", "turning"),
    "laws": ("lines", "plain_line", "second_clearing"),
    "output": ("rs274",),
}
TESTS = (*FOLDERS, *(f"{layer}/test_{layer}_{name}.py" for layer, names in FILES.items() for name in names))
OPTIONS = ("-n0", "-q", "-s", "--tb=line", "-otmp_path_retention_count=1", "-otmp_path_retention_policy=none")

Lines = dict[str, set[int]]


@dataclass(frozen=True, slots=True)
class Reach:
    """A test that passes: its processor seconds while measured, and the lines that it runs, by file."""

    seconds: float
    lines: Lines


def chosen(mutant: Mutant, reach: dict[str, Reach], users: dict[str, Lines], seconds: float) -> list[str]:
    """Tests that run the changed lines, then others of the same files, within `seconds` in all.

    The others may use what a shared fixture or a cache made by those lines while the first test was running.
    """
    hit = {test: one for test, one in reach.items() if _runs(mutant, one.lines, users)}
    if not hit and not mutant.body[1]:
        hit = reach  # a table that other tables are made of when they are imported
    tests = within(seconds, hit, lambda one: _ways(mutant, one.lines))
    beside = {file_of(test) for test in hit}
    rest = {test: one for test, one in reach.items() if test not in hit and file_of(test) in beside}
    left = seconds - sum(reach[test].seconds for test in tests)
    return tests + (within(left, rest) if left > 0 else [])


def patience(reach: dict[str, Reach]) -> dict[str, float]:
    """How long each test may take at its slowest: as it did, and as the slowest of its file did with fixtures."""
    slowest: dict[str, float] = defaultdict(float)
    for test, one in reach.items():
        slowest[file_of(test)] = max(slowest[file_of(test)], one.seconds)
    return {test: one.seconds + slowest[file_of(test)] for test, one in reach.items()}


def file_of(test: str) -> str:
    """The file of a test's id."""
    return test.partition("::")[0]


def within(
    seconds: float, reach: dict[str, Reach], ways: Callable[[Reach], tuple[Hashable, ...]] = lambda _: ()
) -> list[str]:
    """As many tests as there is time for, the quickest first; the n-th of one function that goes one way as n times it.

    `ways`: what tells tests apart that go different ways through the changed code.
    """
    nth: dict[Hashable, int] = defaultdict(int)
    order = []
    for test in sorted(reach, key=lambda test: reach[test].seconds):
        kinds = test.partition("[")[0], *ways(reach[test])
        order.append(((1 + min(nth[kind] for kind in kinds)) * reach[test].seconds, test))
        for kind in kinds:
            nth[kind] += 1
    spent, tests = 0.0, list[str]()
    for _, test in sorted(order):
        spent += reach[test].seconds
        if spent > seconds and tests:
            break
        tests.append(test)
    return tests


def _ways(mutant: Mutant, lines: Lines) -> tuple[Hashable, Hashable]:
    """The lines run of the mutant's function, and of its file."""
    begin, end = mutant.body
    here = frozenset(lines.get(mutant.file, ()))
    return frozenset(line for line in here if begin <= line <= end), (mutant.file, here)


def _runs(mutant: Mutant, lines: Lines, users: dict[str, Lines]) -> bool:
    """A mutant in a function is run with its lines, one outside with whatever names what it defines, else its file."""
    here = lines.get(mutant.file, set())
    begin, end = mutant.body
    if begin <= mutant.first and mutant.body[1]:
        return any(line in here for line in range(mutant.first, mutant.last + 1)) or mutant.statement in here
    if mutant.body[1]:
        return any(line in here for line in range(begin, end + 1))
    if mutant.names and all(users.get(name) for name in mutant.names):
        return any(users[name].get(file, set()) & run for name in mutant.names for file, run in lines.items())
    return bool(here)


def gathered(tree: Path, keep: Path, processes: int) -> dict[str, Reach]:
    """Every chosen test's reach; what `keep` holds of an equal source and test is taken from there."""
    keep.mkdir(parents=True, exist_ok=True)
    source = b"".join(path.read_bytes() for path in sorted((tree / "cncpanel").rglob("*.py")))
    kept = {path: keep / f"{sha256(source + path.read_bytes()).hexdigest()[:24]}.reach" for path in _test_files(tree)}
    for old in set(keep.glob("*.reach")) - set(kept.values()):
        old.unlink()
    missing = [path for path, file in kept.items() if not file.exists()]
    shares = [missing[nth::processes] for nth in range(processes)]
    environment = os.environ | {"PYTHONPATH": str(tree)}
    runs = []
    for share in filter(None, shares):
        pairs = [f"{path}={kept[path]}" for path in share]
        runs.append(subprocess.Popen([sys.executable, __file__, *pairs], cwd=tree, env=environment))
    statuses = [run.wait() for run in runs]
    if any(statuses):
        raise SystemExit("the tests could not be measured")
    every: dict[str, Reach] = {}
    for file in kept.values():
        every |= pickle.loads(file.read_bytes())
    return every


def _test_files(tree: Path) -> list[Path]:
    places = [tree / "tests" / some for some in TESTS]
    return sorted(path for place in places for path in (place.rglob("test_*.py") if place.is_dir() else [place]))


class _Measure:
    """A pytest plugin: coverage's context is the running test; a file's reach is written after its last test."""

    def __init__(self, kept: dict[Path, Path]) -> None:
        self.kept = kept
        self.coverage = Coverage(data_file=None, source=["cncpanel"], config_file=False)
        self.coverage.set_option("run:disable_warnings", ["no-data-collected"])
        self.seconds: dict[str, float] = {}
        self.failed: set[str] = set()

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item, nextitem: pytest.Item | None) -> Iterator[None]:
        self.coverage.switch_context(item.nodeid)
        before = processor_seconds()
        result = yield
        self.seconds[item.nodeid] = processor_seconds() - before
        self.coverage.switch_context("")
        if nextitem is None or nextitem.path != item.path:
            self._write(self.kept[item.path])
        return result

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if not report.passed:
            self.failed.add(report.nodeid)

    def _write(self, keep: Path) -> None:
        self.coverage.stop()
        lines: dict[str, Lines] = defaultdict(lambda: defaultdict(set))
        data = self.coverage.get_data()
        for file in files(Path.cwd()):
            for line, tests in data.contexts_by_lineno(str(Path(file).resolve())).items():
                for test in tests:
                    lines[test][file].add(line)
        passed = {test: seconds for test, seconds in self.seconds.items() if test not in self.failed}
        part = keep.with_suffix(".part")
        part.write_bytes(pickle.dumps({test: Reach(seconds, dict(lines[test])) for test, seconds in passed.items()}))
        part.rename(keep)
        self.seconds.clear()
        self.coverage.erase()
        self.coverage.start()


def processor_seconds() -> float:
    """What this process and its ended children took."""
    times = os.times()
    return time.process_time() + times.children_user + times.children_system


def _measure(pairs: list[str]) -> int:
    """Measure the tests of each `test file=file to keep`; that a file cannot be collected is an error."""
    kept = {Path(test): Path(keep) for test, keep in (one.split("=") for one in pairs)}
    measure = _Measure(kept)
    measure.coverage.start()
    status = pytest.main([*OPTIONS, f"--basetemp={Path.cwd()}.{os.getpid()}", *map(str, kept)], plugins=[measure])
    if status not in (0, 1, 5):
        return 1
    for keep in kept.values():  # all its tests are skipped, or slow
        if not keep.exists():
            keep.write_bytes(pickle.dumps({}))
    return 0


if __name__ == "__main__":
    from reach import _measure as measure  # so that what is pickled is named reach.Reach, not __main__.Reach

    sys.exit(measure(sys.argv[1:]))
