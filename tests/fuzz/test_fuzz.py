"""Damaged jobs, drawings, programs and machine files for CNCPANEL_FUZZ seconds a kind: mistakes told, nothing else.

No traceback, no hang, no more memory than is stated, nothing written. What fails is kept in build/fuzz.
"""

import os
import resource
import shutil
import signal
import time
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from random import Random

import pytest
from damage import damaged

from cncpanel.errors import Gathering, Place, ProblemsFound
from cncpanel.job.dxf import read_dxf
from cncpanel.machine.read import read_machine, shipped_machines
from cncpanel.make.choice import Choice
from cncpanel.make.flow import prepare
from cncpanel.make.prove_flow import prove_programs
from cncpanel.make.question import Question

pytestmark = pytest.mark.slow
ROOT = Path(__file__).parents[2]
SECONDS = float(os.environ.get("CNCPANEL_FUZZ", "120"))
SEED = int(os.environ.get("CNCPANEL_FUZZ_SEED", "1"))
LONGEST = 60  # s an input of at most 300 kB, on a core that others use too
MOST_BYTES = 3 * 2**30  # of address space, over what the program takes, for an input of at most 300 kB
KEPT = ROOT / "build" / "fuzz"


def jobs() -> list[bytes]:
    paths = [*(ROOT / "fixtures" / "jobs").glob("*.toml"), *(ROOT / "fixtures" / "invalid").glob("*.toml")]
    return [path.read_bytes() for path in sorted(paths)]


def drawings() -> list[bytes]:
    paths = [*(ROOT / "fixtures").rglob("*.dxf"), *Path(os.environ.get("CNCPANEL_DATA", "/none")).rglob("*.dxf")]
    return [content for path in sorted(paths) if len(content := path.read_bytes()) < 200_000]


def programs() -> list[bytes]:
    return [path.read_bytes() for path in sorted((ROOT / "fixtures" / "programs").rglob("*.nc"))]


def machines() -> list[bytes]:
    return [path.read_bytes() for path in sorted(shipped_machines().values())]


def check_job(path: Path) -> None:
    prepare(path, Choice(), lambda _: None)


def read_drawing(path: Path) -> None:
    read_dxf(path, unit="mm", layer=None, tolerance=0.05, place=Place("fuzz"), gathering=Gathering())


def prove_program(path: Path) -> None:
    prove_programs(Question(programs=(path,), machine="shop-router", stock="600x400x18"), lambda _: None)


def read_a_machine(path: Path) -> None:
    read_machine(path.name, beside=path.parent)


KINDS = {
    "job": (jobs, check_job, "toml"),
    "drawing": (drawings, read_drawing, "dxf"),
    "program": (programs, prove_program, "nc"),
    "machine": (machines, read_a_machine, "toml"),
}


def tried(work: Callable[[Path], None], folder: Path, name: str, content: bytes) -> str:
    """What is wrong with how the input was taken; nothing where it was read, or its mistakes were told."""
    path = folder / name
    path.write_bytes(content)
    before = {one.name for one in folder.iterdir()}
    signal.alarm(LONGEST)
    try:
        work(path)
    except ProblemsFound as found:
        if not found.problems:
            return "no mistake is told"
    except BaseException as error:  # noqa: BLE001 - whatever is not a told mistake is looked for
        return f"{type(error).__name__}: {error}"[:400]
    finally:
        signal.alarm(0)
    return "" if {one.name for one in folder.iterdir()} == before else "a file was written"


def fuzz(kind: str, folder: Path, until: float) -> int:
    """Tries until the time is up; how many inputs were taken badly. The input in hand lies in the folder."""
    corpus, work, ending = KINDS[kind]
    contents, random, bad = corpus(), Random(f"{SEED} {kind}"), 0
    resource.setrlimit(resource.RLIMIT_AS, (used_bytes() + MOST_BYTES,) * 2)
    signal.signal(signal.SIGALRM, hung)
    tries = 0
    while time.monotonic() < until:
        content = damaged(contents, kind, random)
        wrong = tried(work, folder, f"input.{ending}", content)
        tries += 1
        if wrong:
            bad += 1
            keep(kind, ending, content, wrong)
    (folder / "tries").write_text(str(tries))
    return bad


def used_bytes() -> int:
    return int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()


def hung(*_: object) -> None:
    raise TimeoutError(f"no end after {LONGEST} s")


def keep(kind: str, ending: str, content: bytes, wrong: str) -> None:
    KEPT.mkdir(parents=True, exist_ok=True)
    name = f"{kind}-{sha256(content).hexdigest()[:12]}"
    (KEPT / f"{name}.{ending}").write_bytes(content)
    (KEPT / f"{name}.why").write_text(wrong)


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_damaged_is_refused_with_its_mistakes(kind: str, tmp_path: Path) -> None:
    """In a process of its own, so that running out of memory or a crash of a library is seen too."""
    child = os.fork()
    if child == 0:
        os._exit(min(fuzz(kind, tmp_path, time.monotonic() + SECONDS), 99))
    status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    if status < 0:
        left = next(iter(tmp_path.glob("input.*")))
        keep(kind, left.suffix[1:], left.read_bytes(), f"ended by signal {-status}")
    shutil.rmtree(tmp_path / "out", ignore_errors=True)
    assert status == 0, f"{status} inputs (or a signal): see {KEPT}"
    tries = int((tmp_path / "tries").read_text())
    print(f"{kind}: {tries} damaged files")
    assert tries > 10
