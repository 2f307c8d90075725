"""Artwork as PDF for a large-format printer: boxes that nest, grey and one spot colour, no fonts."""

from cncpanel.drawing.page import Line, Page
from cncpanel.geometry.segment import Bounds
from cncpanel.output.pdf_drawing import drawing_pdf


def artwork_pdf(page: Page, title: str, spot: str) -> bytes:
    """The page with its TrimBox inside its BleedBox inside its MediaBox (ISO 32000-1, 14.11.2).

    Raises ValueError where they do not nest, or where a text is no stroke.
    """
    media = (0.0, 0.0, page.width, page.height)
    if page.trim is None or page.bleed is None or not _inside(page.trim, page.bleed) or not _inside(page.bleed, media):
        raise ValueError(f"the boxes of {title} do not nest")
    if any(not isinstance(item, Line) for window in page.windows for item in (*page.items, *window.items)):
        raise ValueError(f"{title} has words that need a font")
    return drawing_pdf([page], title, spot)


def _inside(inner: Bounds, outer: Bounds) -> bool:
    return outer[0] <= inner[0] and outer[1] <= inner[1] and inner[2] <= outer[2] and inner[3] <= outer[3]
