"""A small job to look at: two sheets, two programs on the first, findings of each severity, something too deep."""

import numpy as np
import shapely

from cncpanel.drawing.proof_picture import DepthMap, ProofPicture, SheetPicture
from cncpanel.drawing.proof_sheet import Board, Run, sheet_picture
from cncpanel.machine.read import read_machine
from cncpanel.proof.finding import Finding
from cncpanel.proof.reader import read
from cncpanel.proof.report import report_of
from cncpanel.proof.target import Floor, Piece, Tab, Target

MACHINE = read_machine("shop-router")
HEAD = "G17 G21 G90 G94\nT{tool} M6\nS18000 M3\nG0 Z20\n"
SQUARE = HEAD + "G0 X50 Y50\nG1 Z-5 F600\nX250 F3000\nY150\nX50\nY50\nG0 Z20\nM2\n"
RING = HEAD + "G0 X180 Y100\nG1 Z-18 F600\nG3 X120 Y100 I-30 J0 F2400\nG3 X180 Y100 I30 J0\nG0 Z20\nM2\n"
LINE_OF_RING = 7  # its first arc
BOARD = Board(size=(300.0, 200.0), thickness=18.0, top=0.0)
FINDINGS = (
    Finding(kind="feed", severity="remark", text="slower than it might be", program="square", line=7, x=250.0, y=50.0),
    Finding(kind="deep", severity="safety", text="</script><b>too deep</b>", program="ring", line=LINE_OF_RING),
    Finding(kind="leftover", severity="error", text="something is left", x=100.0, y=120.0, measure=0.4, limit=0.1),
)
TARGET = Target(
    sheet=shapely.box(0, 0, 300, 200),
    thickness=18.0,
    pieces=(Piece(name="front", shape=shapely.box(60, 60, 240, 140)),),
    floors=(Floor(name="ring", kind="recess", shape=shapely.Point(150, 100).buffer(33), depth=18.0),),
    tabs=(Tab(name="tab", x=150.0, y=60.0, along=(1.0, 0.0), width=8.0, top=12.0),),
)


def run(name: str, text: str, tool: int = 1) -> Run:
    text = text.format(tool=tool)
    return Run(name=name, text=text, reading=read(text))


def picture() -> ProofPicture:
    excess = np.zeros((200, 300))
    excess[90:110, 140:160] = 0.4
    excess[20:30, 20:80] = -0.3
    one = sheet_picture(
        "Sheet 1",
        [run("square", SQUARE), run("ring", RING, tool=2)],
        report_of(FINDINGS, {}),
        BOARD,
        MACHINE,
        target=TARGET,
        excess=DepthMap(depth=excess, cell=1.0),
    )
    other = sheet_picture(
        "Sheet 2", [run("again", SQUARE), run("nothing", "(nothing)\nM2\n")], report_of((), {}), BOARD, MACHINE
    )
    return ProofPicture("Sample <i>", (one, other))


def long_sheet(moves: int) -> SheetPicture:
    """Loops in rows over a whole sheet: as many motions as asked for, each a few mm long."""
    count = np.arange(moves)
    row, along = count // 4000, (count % 4000) / 4000
    across = np.where(row % 2 == 1, 1 - along, along)
    x = 30 + 2380 * across + 9 * np.cos(count * 0.21)
    y = 30 + (row % 50) * 23 + 9 * np.sin(count * 0.21)
    lines = [f"X{a:.4f} Y{b:.4f}" for a, b in zip(x, y, strict=True)]
    text = HEAD.format(tool=1) + "G0 X20 Y20\nG1 Z-6 F3000\n" + "\n".join(lines) + "\nG0 Z20\nM2\n"
    board = Board(size=(2440.0, 1220.0), thickness=18.0, top=0.0)
    depth = DepthMap(depth=np.full((1220, 2440), 6.0), cell=1.0)
    return sheet_picture("Sheet 1", [run("long", text)], report_of((), {}), board, MACHINE, depth=depth)
