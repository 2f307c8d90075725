"""The picture of a proof as files: a page to look into it, a map of what was cut."""

from cncpanel.drawing.proof_picture import ProofPicture, SheetPicture
from cncpanel.drawing.proof_sheet import Board, Run, sheet_picture
from cncpanel.make.prove_flow import Proved
from cncpanel.output.png import map_png
from cncpanel.output.proof_html import proof_page
from cncpanel.proof.reader import read


def page(proved: Proved) -> bytes:
    """The page."""
    title = ", ".join(name for name, _ in proved.programs)
    return proof_page(ProofPicture(title, (_sheet(proved),))).encode()


def depth_png(proved: Proved) -> bytes:
    """The map of depths."""
    depth = _sheet(proved).depth
    return map_png(depth.depth, depth.cell, proved.setup.thickness)


def _sheet(proved: Proved) -> SheetPicture:
    control = proved.setup.control
    runs = [Run(name=name, text=text, reading=read(text, control)) for name, text in proved.programs]
    left, low, right, high = proved.sheet.sheet.bounds
    board = Board(size=(right - left, high - low), thickness=proved.setup.thickness, top=proved.setup.top)
    name = "the sheet"
    return sheet_picture(name, runs, proved.report, board, proved.machine, target=proved.target)
