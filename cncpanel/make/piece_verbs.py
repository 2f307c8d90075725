"""What a person does with the pieces of a store by hand: list, put in, take out, set free."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from cncpanel.errors import Gathering, Place, Problem, ProblemsFound
from cncpanel.store.change import begun, changed, missing
from cncpanel.store.offcut import LEAST, Offcut, Store
from cncpanel.store.text import read_store
from cncpanel.units import length

HEAD = ("name", "size", "thick", "material", "stock", "state", "from")


def begin(path: Path, least: str | None) -> Store:
    """An empty store at `path`."""
    store = Store(least=sides(least, "--least") if least else LEAST)
    begun(path, store)
    return store


def listed(path: Path) -> Store:
    """The store; raises ProblemsFound where there is none."""
    if not path.exists():
        raise ProblemsFound([missing(path)])
    return read_store(path)


def rows(store: Store) -> list[tuple[str, ...]]:
    """A row for each piece, largest first."""
    pieces = sorted(store.offcut, key=lambda piece: (-piece.size[0] * piece.size[1], piece.name))
    return [
        (
            piece.name,
            f"{piece.size[0]:g} x {piece.size[1]:g}",
            f"{piece.thickness:g}",
            piece.material,
            piece.stock,
            piece.state,
            piece.origin,
        )
        for piece in pieces
    ]


def put_in(path: Path, name: str, size: str, thickness: str, material: str, stock: str, *, grain: bool) -> Offcut:
    """A piece that no program knows of; raises ProblemsFound with every mistake."""
    gathering = Gathering()
    measured = _measured(size, thickness, gathering)
    gathering.stop_if_any()
    try:
        piece = Offcut.model_validate(
            {
                "name": name,
                **measured,
                "material": material,
                "grain": "long" if grain else "none",
                "stock": stock,
                "origin": "put in by hand",
            }
        )
    except ValidationError as error:
        raise ProblemsFound([_said(told) for told in error.errors()]) from None

    def with_it(store: Store) -> Store:
        if store.piece(name):
            text = f'a piece is named "{name}" already'
            raise ProblemsFound([Problem(Place(str(path)), text, "a name of its own")])
        return store.with_pieces(piece)

    changed(path, with_it)
    return piece


def _measured(size: str, thickness: str, gathering: Gathering) -> dict[str, object]:
    found: dict[str, object] = {}
    try:
        found["size"] = sides(size, "--size")
    except ProblemsFound as wrong:
        gathering.found += wrong.problems
    try:
        found["thickness"] = _length(thickness, "--thickness")
    except ProblemsFound as wrong:
        gathering.found += wrong.problems
    return found


def _said(told: Any) -> Problem:
    key = ".".join(str(part) for part in told["loc"]) or "piece"
    return Problem(Place(f"--{key}"), str(told["msg"]))


def take_out(path: Path, names: Sequence[str]) -> None:
    """Pieces used by hand or thrown away; one that is kept for a set is refused."""

    def without(store: Store) -> Store:
        _refuse_unknown(path, store, names)
        kept = [piece for name in names if (piece := store.piece(name)) and piece.claim]
        if kept:
            raise ProblemsFound(
                Problem(Place(str(path)), f"{piece.name} is {piece.state}", "set it free first: cncpanel offcuts free")
                for piece in kept
            )
        return store.without(*names)

    changed(path, without)


def set_free(path: Path, names: Sequence[str]) -> None:
    """Pieces that are kept for a set which will not be cut."""

    def freed(store: Store) -> Store:
        _refuse_unknown(path, store, names)
        found = (store.piece(name) for name in names)
        return store.with_pieces(*(piece.model_copy(update={"claim": None}) for piece in found if piece))

    changed(path, freed)


def _refuse_unknown(path: Path, store: Store, names: Sequence[str]) -> None:
    unknown = [name for name in names if store.piece(name) is None]
    if unknown:
        raise ProblemsFound(
            Problem(Place(str(path)), f'no piece is named "{name}"', "see cncpanel offcuts list") for name in unknown
        )


def sides(text: str, option: str) -> tuple[float, float]:
    """Length and width from `600x400`."""
    parts = text.lower().split("x")
    if len(parts) != 2:
        raise ProblemsFound([Problem(Place(option), f'"{text}" is not a size', "length x width such as 600x400")])
    return _length(parts[0], option), _length(parts[1], option)


def _length(text: str, option: str) -> float:
    try:
        found = length(text.strip(), "mm")
    except ValueError as error:
        raise ProblemsFound([Problem(Place(option), f'"{text.strip()}": {error}', "a length such as 600")]) from None
    if found <= 0:
        raise ProblemsFound([Problem(Place(option), f"{found:g} is too small", "more than 0")])
    return found
