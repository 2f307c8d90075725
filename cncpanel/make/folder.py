"""The output folder: written aside, put in place in one step, never half, never over somebody's own files.

On Linux the fresh folder and the old one change places in one call (renameat2 with RENAME_EXCHANGE); where
the system has no such call the old one is renamed away first. A folder that holds files which no earlier run
wrote is refused.
"""

import ctypes
import errno
import os
import shutil
import sys
import tempfile
from collections.abc import Mapping
from pathlib import Path

from cncpanel.errors import Place, Problem, ProblemsFound
from cncpanel.errors.json_text import json_value

RECORD = "job.json"
MADE_BY = "cncpanel"
EXCHANGE = 2  # RENAME_EXCHANGE in linux/fs.h
HERE = -100  # AT_FDCWD in fcntl.h
LONGEST_NAME = 230  # bytes; a file system takes 255, and the folder is first written beside it under a longer name


def write_folder(out: Path, files: Mapping[str, bytes]) -> None:
    """Make `out` hold exactly `files` (paths with / inside it), all or nothing.

    Raises ProblemsFound when the folder is not ours to replace or cannot be written.
    """
    out = Path(os.path.abspath(out))
    try:
        _refuse_foreign(out)
        out.parent.mkdir(parents=True, exist_ok=True)
        _clear_abandoned(out)
        fresh = Path(tempfile.mkdtemp(prefix=f".{out.name}.{os.getpid()}.", dir=out.parent))
        try:
            _fill(fresh, files)
            _put_in_place(fresh, out)
        finally:
            shutil.rmtree(fresh, ignore_errors=True)
    except OSError as error:
        raise ProblemsFound([_cannot_write(out, error)]) from error


def refuse_foreign(out: Path) -> None:
    """Raise ProblemsFound now, before long work, when `write_folder` would refuse later."""
    try:
        _refuse_foreign(Path(os.path.abspath(out)))
    except OSError as error:
        raise ProblemsFound([_cannot_write(out, error)]) from error


def _cannot_write(out: Path, error: OSError) -> Problem:
    return Problem(
        Place(str(out)),
        f"the output folder cannot be written: {error.strerror or error}",
        "what was there before is untouched; free space or choose another --out",
    )


def _refuse_foreign(out: Path) -> None:
    _refuse_standing_in(out)
    _refuse_unwritable(out)
    if not os.path.lexists(out):
        return
    if out.is_symlink() or not out.is_dir():
        text = "is a link: the whole folder is put in its place" if out.is_symlink() else "is not a folder"
        raise ProblemsFound([Problem(Place(str(out)), text, "a folder of its own for --out")])
    ours = _recorded(out)
    strange = sorted(
        str(path.relative_to(out).as_posix()) for path in out.rglob("*") if not path.is_dir() or path.is_symlink()
    )
    foreign = [name for name in strange if name not in ours]
    if foreign:
        named = ", ".join(foreign[:3]) + (f" and {len(foreign) - 3} more" if len(foreign) > 3 else "")
        text = f"holds files that no run wrote: {named}; they would be lost"
        raise ProblemsFound([Problem(Place(str(out)), text, "move them, or a folder of its own for --out")])


def _refuse_standing_in(out: Path) -> None:
    """The old folder goes: whoever stands in it or in a folder of it would stand nowhere."""
    here = Path.cwd()
    if here == out or out in here.parents:
        text = "is the folder that the command runs in, or holds it: it would be replaced"
        raise ProblemsFound([Problem(Place(str(out)), text, "a folder of its own for --out, such as build")])


def _refuse_unwritable(out: Path) -> None:
    parent = next(folder for folder in out.parents if os.path.lexists(folder))
    if not parent.is_dir():
        raise ProblemsFound([Problem(Place(str(parent)), "is not a folder", "a folder of its own for --out")])
    if not os.access(parent, os.W_OK | os.X_OK):
        text = f"the output folder cannot be written: nothing may be put into {parent}"
        raise ProblemsFound([Problem(Place(str(out)), text, "a folder where you may write")])
    if len(out.name.encode()) > LONGEST_NAME:
        text = f"has a name of {len(out.name.encode())} bytes"
        raise ProblemsFound([Problem(Place(str(out)), text, f"at most {LONGEST_NAME}")])


def _recorded(out: Path) -> frozenset[str]:
    """The files that the run which wrote this folder recorded; none when it is not ours."""
    try:
        record = json_value((out / RECORD).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return frozenset()
    if not isinstance(record, dict) or record.get("made_by") != MADE_BY:
        return frozenset()
    files = record.get("files")
    files = files if isinstance(files, list) else []
    return frozenset([RECORD, *(str(name) for name in files)])


def _clear_abandoned(out: Path) -> None:
    """Remove what runs that were killed left beside `out`."""
    for left in out.parent.glob(f".{out.name}.*"):
        owner = left.name.removeprefix(f".{out.name}.").split(".")[0]
        if owner.isdigit() and not _alive(int(owner)):
            shutil.rmtree(left, ignore_errors=True)


def _alive(process: int) -> bool:
    if os.name == "nt":  # signal 0 would be delivered there
        return True
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True


def _fill(fresh: Path, files: Mapping[str, bytes]) -> None:
    fresh.chmod(0o755)
    for name, content in files.items():
        path = fresh / name
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())


def _put_in_place(fresh: Path, out: Path) -> None:
    if not os.path.lexists(out):
        os.rename(fresh, out)
    elif not _exchanged(fresh, out):
        old = fresh.with_name(f"{fresh.name}.old")
        os.rename(out, old)
        os.rename(fresh, out)
        shutil.rmtree(old, ignore_errors=True)


def _exchanged(fresh: Path, out: Path) -> bool:
    """Let the two folders change places in one step; False where the system cannot."""
    if not sys.platform.startswith("linux"):
        return False
    library = ctypes.CDLL(None, use_errno=True)
    if not hasattr(library, "renameat2"):
        return False
    done = library.renameat2(HERE, os.fsencode(fresh), HERE, os.fsencode(out), EXCHANGE)
    if done == 0:
        return True
    failure = ctypes.get_errno()
    if failure in (errno.ENOSYS, errno.EINVAL, errno.ENOTSUP):
        return False
    raise OSError(failure, os.strerror(failure), str(out))
