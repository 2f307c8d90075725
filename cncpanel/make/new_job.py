"""A new job file to edit: the commented starter, a copy of an example, a test coupon. Nothing is overwritten."""

import os
from collections.abc import Mapping
from pathlib import Path

from cncpanel.errors import Place, Problem, ProblemsFound
from cncpanel.errors.validation import nearest
from cncpanel.job.coupon import coupon_job
from cncpanel.job.examples import example_files
from cncpanel.job.read import read_job
from cncpanel.job.starter import starter_job


def write_new(job: Path, example: str | None) -> tuple[Path, ...]:
    """Write the new job's files and give their paths; raises ProblemsFound where one exists or cannot be written.

    A drawing that lies there already with the same bytes is no obstacle.
    """
    files = {job.name: starter_job(job.stem).encode()} if example is None else example_files(example, job.name)
    wanted = {job.parent / name: content for name, content in files.items()}
    return write_all({path: content for path, content in wanted.items() if path == job or not _same(path, content)})


def write_all(missing: Mapping[Path, bytes]) -> tuple[Path, ...]:
    """Write these files, none of which may exist; raises ProblemsFound before the first is written."""
    taken = [path for path in missing if path.exists()]
    if taken:
        raise ProblemsFound(
            Problem(Place(str(path)), "exists already and was left alone", "another name") for path in taken
        )
    return tuple(_written(path, content) for path, content in missing.items())


def write_coupon(job: Path, stock: str | None, coupon: Path) -> Path:
    """Write a job file that cuts a test coupon from a stock of `job` (absent: its first); raises ProblemsFound."""
    read = read_job(job)
    stocks = {each.name: each for each in read.job.stock}
    if stock is not None and stock not in stocks:
        raise ProblemsFound([Problem(Place("--stock"), f'the job has no stock "{stock}"', nearest(stock, stocks))])
    chosen = stocks[stock] if stock is not None else read.job.stock[0]
    machine = read.job.job.machine
    if machine is None:
        text = "missing: a coupon is cut by a router"
        raise ProblemsFound([Problem(read.file.place(("job", "machine")), text, "a machine's name")])
    if machine.endswith(".toml"):  # a file beside the job is named from where the coupon lies
        machine = Path(os.path.relpath(job.parent / machine, coupon.parent)).as_posix()
    return _written(coupon, coupon_job(read.job, chosen, machine).encode())


def _same(path: Path, content: bytes) -> bool:
    try:
        return path.read_bytes() == content
    except OSError:
        return False


def _written(path: Path, content: bytes) -> Path:
    try:
        with path.open("xb") as stream:
            stream.write(content)
    except FileExistsError:
        problem = Problem(Place(str(path)), "exists already and was left alone", "another name")
        raise ProblemsFound([problem]) from None
    except OSError as error:
        problem = Problem(Place(str(path)), f"cannot be written: {error.strerror}", "a folder that exists")
        raise ProblemsFound([problem]) from None
    return path
