"""Reads a job file: every mistake of one file is told in one run."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from pydantic import ValidationError

from cncpanel.errors import Gathering, Problem
from cncpanel.errors.lines import KeyPath
from cncpanel.errors.toml import TomlFile, problems_from_validation, read_toml
from cncpanel.job.checks import check_job
from cncpanel.job.dxf_nest import DxfShape
from cncpanel.job.model import Job, JobHead
from cncpanel.job.references import read_references
from cncpanel.job.values import Values, read_values
from cncpanel.units import Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """One job among several that share sheets: what its panels' names begin with, its head, its file, its panels."""

    tag: str
    head: JobHead
    file: str
    sha256: str
    first: int
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadJob:
    """A job, in mm, with its file (for places) and the contours that its DXF references hold, by key path.

    `shapes[("panel", 0, "dxf")]`, `shapes[("panel", 0, "recess", 2, "island", 1, "dxf")]`. `orders` are the jobs that
    were joined into this one, where there are several.
    """

    job: Job
    file: TomlFile
    shapes: Mapping[KeyPath, tuple[DxfShape, ...]]
    warnings: tuple[Problem, ...]
    orders: tuple[Order, ...] = ()

    def head_of(self, panel: int) -> JobHead:
        """The order that a panel belongs to."""
        own = (order.head for order in self.orders if order.first <= panel < order.first + order.count)
        return next(own, self.job.job)


def read_job(path: Path, gathering: Gathering | None = None) -> ReadJob:
    """Read and judge the job file at `path`; raises ProblemsFound with every mistake, warnings among them.

    With `gathering` its warnings are kept there too. Mistakes between features are found by `panel.resolve`.
    """
    own = Gathering()
    file = read_toml(path)
    values = read_values(file, _unit(file), own)
    job = _job(file, values, own)
    check_job(file, values, own)
    shapes = read_references(file, values, own)
    if gathering is not None:
        gathering.found += own.found
    own.stop_if_any()
    assert job is not None, "a job without problems is a job"
    return ReadJob(job=job, file=file, shapes=shapes, warnings=own.warnings)


def _unit(file: TomlFile) -> Unit:
    """The job's unit; mm where it is missing or wrong (told with the schema's mistakes)."""
    head = file.data.get("job")
    return "inch" if isinstance(head, dict) and head.get("units") == "inch" else "mm"


def _job(file: TomlFile, values: Values, gathering: Gathering) -> Job | None:
    data = dict(file.data)
    if isinstance(data.get("values"), dict):
        data["values"] = {name: quantity.value for name, quantity in values.known.items()}
    try:
        return Job.model_validate(data, context=values.context)
    except ValidationError as error:
        gathering.found += problems_from_validation(error, file, Job)
        return None
