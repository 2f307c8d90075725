"""Random jobs on random machines: refused with its mistakes told, or every program passes the witness. Nothing else."""

import re
import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from law_examples import examples, no_longer_than
from random_jobs import job, machine, written

from cncpanel.errors import ProblemsFound
from cncpanel.make.choice import Choice
from cncpanel.make.files import files
from cncpanel.make.flow import Made, make

LONGEST = 240  # s on a loaded core for at most three panels of five features each
SLOWLY = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.large_base_example]
FINDING = re.compile(r"^\S.*: .+", re.DOTALL)


def outcome(folder: Path, job_text: str, machine_text: str) -> Made | tuple[str, ...]:
    """What was made, or what is wrong."""
    path = written(folder, job_text, machine_text)
    with no_longer_than(LONGEST):
        try:
            return make(path, Choice(), lambda _: None)
        except ProblemsFound as found:
            return tuple(map(str, found.problems))


@settings(max_examples=examples(4), suppress_health_check=SLOWLY)
@given(job_text=job(), machine_text=machine())
def test_a_random_job_is_refused_or_proven(job_text: str, machine_text: str) -> None:
    with tempfile.TemporaryDirectory() as folder:
        found = outcome(Path(folder), job_text, machine_text)
    if isinstance(found, tuple):
        assert found
        assert all(FINDING.match(problem) for problem in found)
        return
    faults = [str(f) for sheet in found.sheets for f in sheet.report.findings if f.severity != "remark"]
    assert faults == []
    assert found.passed


@pytest.mark.slow
@settings(max_examples=examples(1), suppress_health_check=SLOWLY)
@given(job_text=job(), machine_text=machine())
def test_the_same_random_job_makes_the_same_bytes(job_text: str, machine_text: str) -> None:
    with tempfile.TemporaryDirectory() as folder:
        first, second = (outcome(Path(folder), job_text, machine_text) for _ in range(2))
        if isinstance(first, tuple) or isinstance(second, tuple):
            assert first == second
        else:
            assert files(first) == files(second)
