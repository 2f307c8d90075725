"""The DXF files that a job refers to: found in its data, kept to the job's own folder, read."""

from collections.abc import Iterator
from pathlib import Path, PurePosixPath
from typing import Any

from pydantic import ValidationError

from cncpanel.errors import Gathering
from cncpanel.errors.lines import KeyPath
from cncpanel.errors.real_path import real_path
from cncpanel.errors.toml import TomlFile
from cncpanel.errors.validation import quoted
from cncpanel.job.dxf_nest import DxfShape
from cncpanel.job.model import DxfOutline
from cncpanel.job.table_data import tables
from cncpanel.job.values import Values

_WHERE = "a file in the job's folder or below it"
_SHAPED = {"opening": (), "grille": (), "recess": ("step", "island")}


def read_references(file: TomlFile, values: Values, gathering: Gathering) -> dict[KeyPath, tuple[DxfShape, ...]]:
    """The shapes of every DXF reference, by the key path of its `dxf` table; mistakes go to `gathering`."""
    shapes: dict[KeyPath, tuple[DxfShape, ...]] = {}
    for key_path, table in _references(file.data):
        outline = _outline(table, values)
        path = _path(key_path, outline, file, gathering) if outline else None
        if outline and path:
            from cncpanel.job.dxf import read_dxf  # takes a fifth of the start, and few jobs refer to a drawing

            place = file.place((*key_path, "file"))
            found = read_dxf(
                path,
                layer=outline.layer,
                unit=outline.unit,
                tolerance=outline.tolerance,
                place=place,
                gathering=gathering,
            )
            if found is not None:
                shapes[key_path] = found
    return shapes


def _references(data: dict[str, Any]) -> Iterator[tuple[KeyPath, dict[str, Any]]]:
    for index, panel in tables(data, "panel"):
        yield from _reference(("panel", index), panel)
        for kind, inner_kinds in _SHAPED.items():
            for number, feature in tables(panel, kind):
                here = ("panel", index, kind, number)
                yield from _reference(here, feature)
                for inner_kind in inner_kinds:
                    for n, inner in tables(feature, inner_kind):
                        yield from _reference((*here, inner_kind, n), inner)


def _reference(key_path: KeyPath, table: dict[str, Any]) -> Iterator[tuple[KeyPath, dict[str, Any]]]:
    if isinstance(table.get("dxf"), dict):
        yield (*key_path, "dxf"), table["dxf"]


def _outline(table: dict[str, Any], values: Values) -> DxfOutline | None:
    """The reference, or None where its keys are wrong (told with the schema's mistakes)."""
    try:
        return DxfOutline.model_validate(table, context=values.context)
    except ValidationError:
        return None


def _path(key_path: KeyPath, outline: DxfOutline, file: TomlFile, gathering: Gathering) -> Path | None:
    """The file named, where it lies in the job's folder; links that lead out of it count as outside."""
    place = file.place((*key_path, "file"))
    named = PurePosixPath(outline.file)
    folder = real_path(file.path.parent)
    if not outline.file.isprintable() or "\\" in outline.file or ":" in outline.file:
        gathering.problem(place, f"{quoted(outline.file)} is not a plain file name", f"{_WHERE}, with / between")
        return None
    if named.is_absolute() or ".." in named.parts or not real_path(folder / named).is_relative_to(folder):
        gathering.problem(place, f"{quoted(outline.file)} lies outside the job's folder", _WHERE)
        return None
    return folder / named
