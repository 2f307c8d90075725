"""A drawing larger than the paper, cut into tiles that overlap: which tiles, where, and what lies next to what."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

from cncpanel.geometry.area import Area
from cncpanel.geometry.region import Region
from cncpanel.geometry.segment import Bounds
from cncpanel.job.paper import LEAST_STEP

ROW_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
ROOM = 0.5  # mm round the drawing: the widest pen does not end at a frame


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile:
    """One page's part of the drawing; rows count from the top, columns from the left, both from 1."""

    row: int
    column: int
    window: Bounds

    @property
    def name(self) -> str:
        """`B3`: the row's letters, the column's number."""
        return f"{row_letters(self.row)}{self.column}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """Two tiles side by side or one above the other, and the strip that both show."""

    first: Tile
    second: Tile
    strip: Bounds

    @property
    def name(self) -> str:
        """`B3-B4`: no other joint of the drawing has it."""
        return f"{self.first.name}-{self.second.name}"

    @property
    def upright(self) -> bool:
        """Whether the strip stands: the tiles lie side by side."""
        return self.first.row == self.second.row


@dataclass(frozen=True, slots=True, kw_only=True)
class Tiling:
    """All tiles that show something of the panel, row by row; `columns` and `rows` count the empty ones too."""

    columns: int
    rows: int
    tiles: tuple[Tile, ...]
    joints: tuple[Joint, ...]


def tiling(bounds: Bounds, whole: Region, size: tuple[float, float], overlap: float) -> Tiling:
    """Tiles of `size` (width, height of what a page shows) over `bounds`; those that miss `whole` are left out.

    Raises ValueError where the overlap leaves too little of a tile.
    """
    if min(size) - overlap < LEAST_STEP:
        raise ValueError(f"an overlap of {overlap:g} mm leaves too little of a page that shows {min(size):g} mm")
    left, low, right, high = bounds[0] - ROOM, bounds[1] - ROOM, bounds[2] + ROOM, bounds[3] + ROOM
    columns, rows = (
        count(length, shown, overlap) for length, shown in zip((right - left, high - low), size, strict=True)
    )
    steps = size[0] - overlap, size[1] - overlap
    first_x = (left + right - columns * steps[0] - overlap) / 2
    top = (low + high + rows * steps[1] + overlap) / 2
    area = Area.of([whole])
    tiles = []
    for row in range(rows):
        for column in range(columns):
            x, y = first_x + column * steps[0], top - row * steps[1]
            window = (x, y - size[1], x + size[0], y)
            if Area.box(window).overlap(area) > 0:
                tiles.append(Tile(row=row + 1, column=column + 1, window=window))
    return Tiling(columns=columns, rows=rows, tiles=tuple(tiles), joints=tuple(_joints(tiles)))


def count(length: float, shown: float, overlap: float) -> int:
    """How many tiles in a row: n pages show n * (shown - overlap) + overlap."""
    return max(ceil((length - overlap) / (shown - overlap) - 1e-9), 1)


def _joints(tiles: list[Tile]) -> Iterator[Joint]:
    """Every pair of neighbours, the left one or the upper one first."""
    by_place = {(tile.row, tile.column): tile for tile in tiles}
    for tile in tiles:
        for place in ((tile.row, tile.column + 1), (tile.row + 1, tile.column)):
            if place in by_place:
                other = by_place[place]
                yield Joint(first=tile, second=other, strip=_shared(tile.window, other.window))


def _shared(a: Bounds, b: Bounds) -> Bounds:
    return max(a[0], b[0]), max(a[1], b[1]), min(a[2], b[2]), min(a[3], b[3])


def row_letters(number: int) -> str:
    """1 is A, 24 is Z, 25 is AA; I and O, which read as figures, are left out."""
    letters = ""
    while number:
        number, rest = divmod(number - 1, len(ROW_LETTERS))
        letters = ROW_LETTERS[rest] + letters
    return letters
