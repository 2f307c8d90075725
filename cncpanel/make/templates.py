"""The full-size templates of a panel: tiled and in one piece as PDF, SVG, DXF for new and for old readers."""

from collections.abc import Iterator

from cncpanel.drawing.ahead import CutAhead, RouterAhead, SawAhead
from cncpanel.drawing.page import Item
from cncpanel.drawing.seen import Seen
from cncpanel.drawing.template import Template, template
from cncpanel.drawing.template_flat import template_drawing
from cncpanel.drawing.template_pages import Told, roll_page, tiled_pages
from cncpanel.drawing.words import settle
from cncpanel.job.model import Face, TemplateSettings
from cncpanel.job.paper_size import PaperSize, paper_size
from cncpanel.job.read import ReadJob
from cncpanel.make.stem import panel_stem
from cncpanel.output.dxf import panel_dxf
from cncpanel.output.pdf_drawing import drawing_pdf, page_bounds
from cncpanel.output.svg_drawing import drawing_svg
from cncpanel.panel.panel import Panel
from cncpanel.sequence.wording import file_stem


def template_files(
    read: ReadJob, panel: Panel, settings: TemplateSettings | None = None, face: Face = "show"
) -> dict[str, bytes]:
    """Every file of the panel and of its mirrored copies, by name; `settings` in place of the job's own.

    Raises ValueError where the paper is too small for its overlap.
    """
    asked = settings or read.job.settings.template
    return dict(file for seen in views(read, panel, face) for file in _files(read, seen, asked))


def views(read: ReadJob, panel: Panel, face: Face) -> Iterator[Seen]:
    """The plain copies' view and the mirrored ones', where there are any."""
    edges = read.job.panel[panel.index].edge
    for wanted, mirrored_copy in ((panel.copies, False), (panel.mirrored, True)):
        if wanted:
            yield Seen(panel=panel, edges=edges, face=face, mirrored_copy=mirrored_copy)


def _files(read: ReadJob, seen: Seen, settings: TemplateSettings) -> Iterator[tuple[str, bytes]]:
    drawn = template(seen, read.job.job.units, cut_ahead(settings))
    paper, told, title = chosen_paper(read, settings), told_of(read), f"Template {seen.title}"
    stem = panel_stem(seen.panel, mirrored_copy=seen.mirrored_copy) + ("" if seen.face == "show" else "-back")
    yield f"{stem}-{file_stem(paper.name)}.pdf", drawing_pdf(tiled_pages(drawn, told, paper, settings), title)
    yield f"{stem}-roll.pdf", drawing_pdf([roll_page(drawn, told, settings)], title)
    items = template_items(drawn)
    yield f"{stem}.svg", drawing_svg(items, page_bounds(items), title)
    flat = template_drawing(drawn)
    yield f"{stem}.dxf", panel_dxf(flat)
    yield f"{stem}-r12.dxf", panel_dxf(flat, "R12")


def template_items(drawn: Template) -> tuple[Item, ...]:
    """Lines and words of the template in one piece."""
    return (*drawn.lines, *drawn.fixed, *settle(drawn.wishes, drawn.taken))


def cut_ahead(settings: TemplateSettings) -> CutAhead | None:
    """The line that the settings ask for; a router's goes before a saw's."""
    if settings.bush is not None and settings.bit is not None:
        return RouterAhead(settings.bush, settings.bit)
    return SawAhead(settings.saw) if settings.saw is not None else None


def chosen_paper(read: ReadJob, settings: TemplateSettings) -> PaperSize:
    """The paper asked for; A4 where nothing is, Letter for a job in inches."""
    return paper_size(settings.paper or ("Letter" if read.job.job.units == "inch" else "A4"))


def told_of(read: ReadJob) -> Told:
    """What every page tells of the job."""
    head = read.job.job
    return Told(job=head.name, revision=head.revision, date=head.date, unit=head.units)
