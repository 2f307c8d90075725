"""Machine files (TOML): where they are, and one of them read with every mistake told at once."""

from difflib import get_close_matches
from os.path import isfile
from pathlib import Path

from pydantic import ValidationError

from cncpanel.errors import Place, Problem, ProblemsFound
from cncpanel.errors.toml import TomlFile, problems_from_validation, read_toml
from cncpanel.machine.contradiction import contradictions
from cncpanel.machine.model import Machine

_HERE = Path(__file__).resolve().parent
_FOLDERS = (_HERE.parent.parent / "machines", _HERE / "shipped")  # source tree; installed from a wheel


def shipped_machines() -> dict[str, Path]:
    """The machine files that come with the program, by name, in order of name."""
    for folder in _FOLDERS:
        files = {file.stem: file for file in folder.glob("*.toml")}
        if files:
            return dict(sorted(files.items()))
    return {}


def read_machine(name_or_path: str, beside: Path | None = None) -> Machine:
    """The machine of that name (shipped) or in that file; `beside`: a folder, or a file in it, to look from.

    Raises ProblemsFound: no such machine or file, or every mistake of the file with its line and key.
    """
    file = read_toml(_found(name_or_path, beside))
    try:
        return Machine.model_validate(file.data)
    except ValidationError as error:
        raise ProblemsFound(_problems(error, file)) from None


def _found(name_or_path: str, beside: Path | None) -> Path:
    if name_or_path.endswith(".toml") or "/" in name_or_path or "\\" in name_or_path:
        return _file(name_or_path, beside)
    shipped = shipped_machines()
    if name_or_path not in shipped:
        raise ProblemsFound([_unknown(name_or_path, tuple(shipped))])
    return shipped[name_or_path]


def _file(name: str, beside: Path | None) -> Path:
    folder = Path() if beside is None else beside if beside.is_dir() else beside.parent
    path = folder / name
    if not isfile(path):  # unlike Path's own, it is False for names that no file can have
        raise ProblemsFound([Problem(Place("machine"), f"there is no machine file {path}", "a path that exists")])
    return path


def _unknown(name: str, known: tuple[str, ...]) -> Problem:
    near = get_close_matches(name, known, n=1)
    question = f"; did you mean {near[0]}?" if near else ""
    allowed = f"{', '.join(known)}, or a path to a .toml file" if known else "a path to a .toml file"
    return Problem(Place("machine"), f'there is no machine "{name}"{question}', allowed)


def _problems(error: ValidationError, file: TomlFile) -> list[Problem]:
    """Schema mistakes and contradictions alike, each at its own line."""
    denied = [Problem(file.place(one.key), one.text, one.allowed) for one in contradictions(error)]
    return [*problems_from_validation(error, file, Machine), *denied]
