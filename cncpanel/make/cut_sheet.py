"""The operator says that a sheet was cut: the offcut it was leaves the store, and what it leaves comes in."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from cncpanel.errors import Place, Problem, ProblemsFound
from cncpanel.errors.json_text import json_value
from cncpanel.make.folder import MADE_BY, RECORD
from cncpanel.store.change import changed
from cncpanel.store.offcut import Material, Offcut, Store

NOT_OURS = "its job.json is not one that tells of offcuts"


class _Loose(BaseModel):
    """Of a record only what is asked here; other keys are others' business."""

    model_config = ConfigDict(frozen=True, extra="ignore", allow_inf_nan=False)


class _Leaves(_Loose):
    name: str
    size: tuple[float, float]


class _Thickness(_Loose):
    nominal: float


class _Sheet(_Loose):
    number: int
    sheet_id: str
    stock: str = Field(max_length=60)
    material: Material
    grain: str
    thickness: _Thickness
    measured: tuple[float, ...]
    offcut: str | None
    leaves: tuple[_Leaves, ...]


class _Head(_Loose):
    name: str
    revision: str


class _Set(_Loose):
    made_by: str
    verdict: str
    job: _Head
    offcut_store: str | None
    sheets: tuple[_Sheet, ...] = Field(min_length=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """What the store made of it."""

    store: Path
    gone: str | None
    kept: tuple[Offcut, ...]


def cut(folder: Path, number: int, store: Path | None, *, again: bool, leave_out: Sequence[str] = ()) -> Cut:
    """Sheet `number` of the set in `folder` was cut; `leave_out` are pieces that did not come out whole.

    Raises ProblemsFound where it was said before and not `again`, or where its offcut is not kept for it.
    """
    made = _record(folder)
    sheet = next((sheet for sheet in made.sheets if sheet.number == number), None)
    _refuse(folder, made, sheet, number, leave_out)
    assert sheet is not None, "a missing sheet was refused"
    path = store or (Path(made.offcut_store) if made.offcut_store else None)
    if path is None:
        text = "was made without a store of offcuts"
        raise ProblemsFound([Problem(Place(str(folder)), text, "name one with --offcuts")])
    kept: tuple[Offcut, ...] = ()

    def after(old: Store) -> Store:
        nonlocal kept
        _refuse_spent(path, old, sheet, again=again)
        try:
            kept = tuple(_pieces(made, sheet, old, leave_out))
        except ValidationError:
            raise ProblemsFound([Problem(Place(str(folder)), NOT_OURS, "make the set anew")]) from None
        used = old.without(sheet.offcut) if sheet.offcut else old
        title = f"{made.job.name}, revision {made.job.revision}"
        return used.with_pieces(*kept).with_cut(sheet.sheet_id, title[:100], sheet.number)

    changed(path, after)
    return Cut(store=path, gone=sheet.offcut, kept=kept)


def _record(folder: Path) -> _Set:
    path = folder / RECORD
    try:
        data: Any = json_value(path.read_text(encoding="utf-8"))
        made = _Set.model_validate(data)
    except FileNotFoundError:
        text, allowed = "holds no set: there is no job.json in it", "a folder that `cncpanel make` wrote"
    except (OSError, UnicodeDecodeError) as error:
        text, allowed = f"its job.json cannot be read: {error}", "a folder that `cncpanel make` wrote"
    except (ValueError, ValidationError):
        text, allowed = NOT_OURS, "make the set anew"
    else:
        if made.made_by == MADE_BY:
            return made
        text, allowed = "its job.json is not ours", "a folder that `cncpanel make` wrote"
    raise ProblemsFound([Problem(Place(str(folder)), text, allowed)])


def _refuse(folder: Path, made: _Set, sheet: _Sheet | None, number: int, leave_out: Sequence[str]) -> None:
    found = []
    if sheet is None:
        last = max(sheet.number for sheet in made.sheets)
        found.append(Problem(Place("--sheet"), f"the set has no sheet {number}", f"1 to {last}"))
    elif made.verdict != "pass":
        found.append(Problem(Place(str(folder)), "is not proven: it has no programs that could have been cut"))
    names = [leaves.name for leaves in sheet.leaves] if sheet else []
    for name in leave_out if sheet else ():
        if name not in names:
            allowed = ", ".join(names) or "it leaves none"
            found.append(Problem(Place("--leave-out"), f'sheet {number} leaves no piece named "{name}"', allowed))
    if found:
        raise ProblemsFound(found)


def _refuse_spent(path: Path, store: Store, sheet: _Sheet, *, again: bool) -> None:
    place = Place(str(path))
    if store.times_cut(sheet.sheet_id) and (sheet.offcut or not again):
        text = f"sheet {sheet.number} of this set was said to be cut before"
        allowed = "make the set anew: its offcut is used up" if sheet.offcut else "--again where it was cut once more"
        raise ProblemsFound([Problem(place, text, allowed)])
    piece = store.piece(sheet.offcut) if sheet.offcut else None
    if sheet.offcut and (piece is None or piece.claim is None or piece.claim.sheet_id != sheet.sheet_id):
        state = "is not in the store" if piece is None else f"is {piece.state}"
        text = f"sheet {sheet.number} is to be cut from offcut {sheet.offcut}, which {state}: not kept for this set"
        raise ProblemsFound([Problem(place, text, "make the set anew")])


def _pieces(made: _Set, sheet: _Sheet, store: Store, leave_out: Sequence[str]) -> Iterator[Offcut]:
    for leaves in sheet.leaves:
        if leaves.name not in leave_out:
            along = leaves.size if sheet.grain == "long" else (max(leaves.size), min(leaves.size))
            yield Offcut(
                name=_free_name(leaves.name, store),
                material=sheet.material,
                thickness=sheet.thickness.nominal,
                measured=sheet.measured,
                size=along,
                grain="long" if sheet.grain == "long" else "none",
                stock=sheet.stock,
                origin=f"{made.job.name}, revision {made.job.revision}, sheet {sheet.number}",
            )


def _free_name(name: str, store: Store) -> str:
    """The name itself; where a sheet was cut once more, with how often that is."""
    count = 2
    free = name
    while store.piece(free) is not None:
        free, count = f"{name}.{count}", count + 1
    return free
