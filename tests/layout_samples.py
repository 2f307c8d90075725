"""Panels for layouts, without a job file."""

from cncpanel.errors import Place
from cncpanel.geometry.contour import Contour, polygon
from cncpanel.job.model import Face, Stock
from cncpanel.panel.panel import Panel

BOARD = Stock(name="board", material="mdf", thickness=18, sheet=(2440, 1220), count=9, margin=10)


def plain_panel(
    index: int,
    outline: Contour,
    *,
    stock: Stock = BOARD,
    copies: int = 1,
    mirrored: int = 0,
    turn: str | tuple[float, ...] = "right-angles",
    face: Face = "show",
) -> Panel:
    return Panel(
        index=index,
        name=f"p{index}",
        stock=stock,
        face=face,
        copies=copies,
        mirrored=mirrored,
        turn=turn,  # type: ignore[arg-type]
        outline=outline,
        openings=(),
        recesses=(),
        holes=(),
        marks=(),
        grilles=(),
        bench=(),
        place=Place("job.toml", 1, f"panel[{index}]"),
    )


# The demo console's side, cabinet section drawn by ourselves: bulges at D-E and H-I.
SIDE = polygon(
    [(0, 0), (520, 0), (520, 800), (620, 800), (620, 900), (380, 951), (208, 1424), (400, 1424), (400, 1600), (0, 1600)]
)
