"""Mutation score: how many of a seeded sample of small faults in the core the tests notice, tried in a copy."""

import argparse
import importlib
import os
import pickle
import shutil
import sys
import tempfile
from collections import Counter
from hashlib import sha256
from pathlib import Path

import pytest
from explained import explained, reason, stale
from mutant import Mutant, files, sample
from reach import OPTIONS, TESTS, gathered
from trial import KILLED, LATE, NO_VERDICT, NOT_REACHED, SURVIVED, Trials

ROOT = Path(__file__).resolve().parent.parent.parent
KEEP = ROOT / "build" / "mutants"
LEFT_OUT = (".*", "build", "out", "__pycache__", "*.pyc")
EXPLAINED = "explained"
LIVING = (SURVIVED, NOT_REACHED, NO_VERDICT)


def main() -> int:
    """The table, the survivors; 1 where too few are killed or an explanation is out of date."""
    asked = _arguments()
    mutants = _sampled(asked.seed, asked.count)[slice(*asked.slice)]
    with tempfile.TemporaryDirectory(prefix="cncpanel-mutants-") as folder:
        tree = Path(folder) / "tree"
        shutil.copytree(ROOT, tree, ignore=shutil.ignore_patterns(*LEFT_OUT), symlinks=True)
        verdicts = _tried(mutants, tree, asked.processes)
        known = explained()
        for one in [one for one, told in verdicts.items() if told in LIVING]:
            if reason(one, known):
                verdicts[one] = EXPLAINED
            else:
                print(f"\n{verdicts[one]}: {one.where or one.file}\ntext = {one.text!r}\n{one.diff(tree)}")
        gone = stale(tree, known)
    for old in gone:
        print(f"explained, but no mutant any more: {old.file} {old.where}: {old.text}")
    return 1 if _table(verdicts) < asked.least or gone else 0


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seed", type=int, default=1, help="which mutants (%(default)s)")
    parser.add_argument("--count", type=int, default=400, help="how many of them (%(default)s)")
    parser.add_argument("--least", type=float, default=85.0, help="percent that must be killed (%(default)s)")
    parser.add_argument("--processes", type=int, default=os.cpu_count() or 1, help="at once (%(default)s)")
    parser.add_argument("--slice", default=":", help="only a part of the sample, as 0:60")
    asked = parser.parse_args()
    asked.slice = [int(end) if end else None for end in asked.slice.split(":")]
    return asked


def _sampled(seed: int, count: int) -> list[Mutant]:
    """The sample; kept in build/ until the code changes, for there are tens of thousands to choose from."""
    code = (
        b"".join((ROOT / file).read_bytes() for file in files(ROOT))
        + Path(__file__).with_name("mutant.py").read_bytes()
    )
    kept = KEEP / f"{sha256(code + f'{seed} {count}'.encode()).hexdigest()[:24]}.sample"
    if not kept.exists():
        KEEP.mkdir(parents=True, exist_ok=True)
        kept.write_bytes(pickle.dumps(sample(ROOT, seed, count)))
    found: list[Mutant] = pickle.loads(kept.read_bytes())
    return found


def _tried(mutants: list[Mutant], tree: Path, processes: int) -> dict[Mutant, str]:
    """Each mutant's verdict."""
    reach = gathered(tree, KEEP, processes)
    os.environ |= {"PYTHONPATH": str(tree), "OPENBLAS_NUM_THREADS": "1"}
    os.chdir(tree)
    sys.path.insert(0, str(tree))
    if not Path(importlib.import_module("cncpanel").__file__ or "").is_relative_to(tree):
        raise SystemExit("another cncpanel than the copied one would be tested")
    trials = Trials(mutants, reach, tree, processes)
    status = pytest.main(
        [*OPTIONS, f"--basetemp={tree.parent}/tmp", *(f"tests/{some}" for some in TESTS)], plugins=[trials]
    )
    if not trials.sound:
        raise SystemExit(f"the tests fail without any change, or could not be collected (status {status})")
    return trials.verdicts


def _table(verdicts: dict[Mutant, str]) -> float:
    """Print the counts by file and folder; the score of all in per cent."""
    row = "{:44} {:>7} {:>6} {:>9} {:>9} {:>9} {:>7}"
    print("\n" + row.format("file", "mutants", "killed", "survived", "timed out", "explained", "score"))
    rows: dict[str, Counter[str]] = {}
    for mutant, verdict in verdicts.items():
        for name in (mutant.file, f"{Path(mutant.file).parent}/", "in all"):
            rows.setdefault(name, Counter())[verdict] += 1
    for name in sorted(rows, key=lambda name: (name == "in all", name)):
        count = rows[name]
        survived = sum(count[one] for one in LIVING)
        cells = count.total(), count[KILLED], survived, count[LATE], count[EXPLAINED]
        print(row.format(name, *cells, f"{_score(count):.1f} %"))
    return _score(rows["in all"])


def _score(count: Counter[str]) -> float:
    """Per cent killed, in time or by hanging, of those that are not explained."""
    judged = count.total() - count[EXPLAINED]
    return 100 * (count[KILLED] + count[LATE]) / judged if judged else 100.0


if __name__ == "__main__":
    sys.exit(main())
