"""Running words for reportlab's flow: no markup to be parsed, lines broken once for a width."""

from collections.abc import Iterator

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Paragraph
from reportlab.platypus.paraparser import ParaFrag

from cncpanel.output.pdf_text import runs


class Words(Paragraph):  # type: ignore[misc]  # reportlab ships no types
    """A paragraph that a table asks for its height and then draws at the same width without breaking it anew."""

    broken: tuple[float, float] | None = None

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Its width and height, in points; lines are broken anew where the width is another or a split took them."""
        if self.broken is None or self.broken[0] != width or not hasattr(self, "blPara"):
            self.broken = super().wrap(width, height)
        return self.broken


def words(text: str, style: ParagraphStyle) -> Words:
    """The text set in a style; letters that its font lacks in the other one."""
    return Words(None, style, frags=list(_stretches(text.strip(), style)))


def _stretches(text: str, style: ParagraphStyle) -> Iterator[ParaFrag]:
    for font, stretch in runs(text, style.fontName):
        yield ParaFrag(
            text=stretch,
            fontName=font,
            fontSize=style.fontSize,
            textColor=style.textColor,
            rise=0,
            link=[],
            us_lines=[],
        )
