"""A new job file to edit: the commented starter, or a copy of an example with its drawings. Nothing is overwritten."""

from pathlib import Path

from cncpanel.errors import Place, Problem, ProblemsFound
from cncpanel.job.examples import example_files
from cncpanel.job.starter import starter_job


def write_new(job: Path, example: str | None) -> tuple[Path, ...]:
    """Write the new job's files and give their paths; raises ProblemsFound where one exists or cannot be written.

    A drawing that lies there already with the same bytes is no obstacle.
    """
    files = {job.name: starter_job(job.stem).encode()} if example is None else example_files(example, job.name)
    wanted = {job.parent / name: content for name, content in files.items()}
    missing = {path: content for path, content in wanted.items() if path == job or not _same(path, content)}
    taken = [path for path in missing if path.exists()]
    if taken:
        raise ProblemsFound(
            Problem(Place(str(path)), "exists already and was left alone", "another name") for path in taken
        )
    return tuple(_written(path, content) for path, content in missing.items())


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
