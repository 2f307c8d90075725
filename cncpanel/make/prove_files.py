"""The picture of a proof as files: a page to look into it, a map of what was cut."""

from cncpanel.drawing.proof_picture import ProofPicture, SheetPicture
from cncpanel.make.picture import picture_of
from cncpanel.make.prove_flow import Proved
from cncpanel.output.png import map_png
from cncpanel.output.proof_html import proof_page


def page(proved: Proved) -> bytes:
    """The page."""
    title = ", ".join(name for name, _ in proved.programs)
    return proof_page(ProofPicture(title, (_sheet(proved),))).encode()


def depth_png(proved: Proved) -> bytes:
    """The map of depths."""
    depth = _sheet(proved).depth
    return map_png(depth.depth, depth.cell, proved.setup.thickness)


def _sheet(proved: Proved) -> SheetPicture:
    return picture_of(
        "the sheet",
        proved.programs,
        proved.report,
        proved.machine,
        proved.setup,
        proved.sheet,
        proved.target,
    )
