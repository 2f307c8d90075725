"""The picture of a proof as files: a page to look into it, a map of what was cut."""

from cncpanel.drawing.proof_picture import ProofPicture, SheetPicture
from cncpanel.make.picture import Shown, picture_of
from cncpanel.make.prove_flow import Proved
from cncpanel.make.shown_map import depth_map, excess_map
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
        Shown(
            name="the sheet",
            programs=list(zip(proved.read, proved.times, strict=True)),
            report=proved.report,
            setup=proved.setup,
            board=proved.sheet,
            target=proved.target,
            depth=depth_map(proved.found),
            excess=excess_map(proved.found),
        )
    )
