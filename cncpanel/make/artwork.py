"""The artwork files of a panel: PDF at 1:1, at 1:10 where that page is long, SVG and DXF."""

from collections.abc import Iterator

from cncpanel.drawing.artwork import Print, artwork_lines, artwork_page, title
from cncpanel.drawing.flat import FlatDrawing
from cncpanel.drawing.seen import Seen
from cncpanel.drawing.template_flat import flat_lines
from cncpanel.job.model import Artwork
from cncpanel.job.read import ReadJob
from cncpanel.make.stem import panel_stem
from cncpanel.make.templates import views
from cncpanel.output.dxf import panel_dxf
from cncpanel.output.pdf_artwork import artwork_pdf
from cncpanel.output.pdf_drawing import page_bounds
from cncpanel.output.svg_drawing import drawing_svg
from cncpanel.panel.panel import Panel

REDUCED = 10.0
OTHER = {"left": "right", "right": "left"}


def artwork_files(read: ReadJob, panel: Panel) -> dict[str, bytes]:
    """Every artwork file of the panel by name; none where it has no artwork."""
    asked = read.job.panel[panel.index].artwork
    return dict(
        file for artwork in asked for seen in views(read, panel, artwork.face) for file in _files(read, seen, artwork)
    )


def _files(read: ReadJob, seen: Seen, artwork: Artwork) -> Iterator[tuple[str, bytes]]:
    settings = read.job.settings.artwork
    assert settings.spot is not None, "the job was checked: artwork has its spot colour"
    printed = Print(seen=seen, artwork=artwork, settings=settings, hand=_hand(seen, artwork), unit=read.job.job.units)
    stem, named = _stem(printed), f"Artwork {title(printed)}"
    page = artwork_page(printed)
    yield f"{stem}.pdf", artwork_pdf(page, named, settings.spot)
    if max(page.width, page.height) > settings.reduce_over:
        yield f"{stem}-1to10.pdf", artwork_pdf(artwork_page(printed, REDUCED), f"{named}, 1:10", settings.spot)
    lines = tuple(artwork_lines(printed))
    yield f"{stem}.svg", drawing_svg(lines, page_bounds(lines), named)
    yield f"{stem}.dxf", panel_dxf(FlatDrawing(named, tuple(flat_lines(lines))))


def _hand(seen: Seen, artwork: Artwork) -> str:
    """The hand of the copies that are seen; nothing where the job names none."""
    if artwork.hand is None:
        return ""
    return OTHER[artwork.hand] if seen.mirrored_copy else artwork.hand


def _stem(printed: Print) -> str:
    """`panel01-side-left-show`."""
    seen = printed.seen
    stem = panel_stem(seen.panel, mirrored_copy=seen.mirrored_copy and not printed.hand)
    return "-".join(part for part in (stem, printed.hand, seen.face) if part)
