"""The full-size templates of a panel: tiled and in one piece as PDF, SVG, DXF for new and for old readers."""

from collections.abc import Callable, Iterator, Mapping

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


def one_template(
    read: ReadJob, panel: Panel, settings: TemplateSettings, face: Face, *, mirrored_copy: bool, kind: str
) -> bytes:
    """One file of a panel; `kind` is tiles, roll, svg, dxf or r12. Errors as `template_files`."""
    seen = Seen(panel=panel, edges=read.job.panel[panel.index].edge, face=face, mirrored_copy=mirrored_copy)
    drawn = template(seen, read.job.dimension_unit, cut_ahead(settings))
    return KINDS[kind](read, drawn, settings)


def views(read: ReadJob, panel: Panel, face: Face) -> Iterator[Seen]:
    """The plain copies' view and the mirrored ones', where there are any."""
    edges = read.job.panel[panel.index].edge
    for wanted, mirrored_copy in ((panel.copies, False), (panel.mirrored, True)):
        if wanted:
            yield Seen(panel=panel, edges=edges, face=face, mirrored_copy=mirrored_copy)


def _files(read: ReadJob, seen: Seen, settings: TemplateSettings) -> Iterator[tuple[str, bytes]]:
    drawn = template(seen, read.job.dimension_unit, cut_ahead(settings))
    stem = panel_stem(seen.panel, mirrored_copy=seen.mirrored_copy) + ("" if seen.face == "show" else "-back")
    endings = {"tiles": f"-{file_stem(chosen_paper(read, settings).name)}.pdf", **ENDINGS}
    for kind, ending in endings.items():
        yield f"{stem}{ending}", KINDS[kind](read, drawn, settings)


def _tiles(read: ReadJob, drawn: Template, settings: TemplateSettings) -> bytes:
    pages = tiled_pages(drawn, told_of(read), chosen_paper(read, settings), settings)
    return drawing_pdf(pages, _title(drawn))


def _roll(read: ReadJob, drawn: Template, settings: TemplateSettings) -> bytes:
    return drawing_pdf([roll_page(drawn, told_of(read), settings)], _title(drawn))


def _svg(_read: ReadJob, drawn: Template, _settings: TemplateSettings) -> bytes:
    items = template_items(drawn)
    return drawing_svg(items, page_bounds(items), _title(drawn))


def _dxf(_read: ReadJob, drawn: Template, _settings: TemplateSettings) -> bytes:
    return panel_dxf(template_drawing(drawn))


def _r12(_read: ReadJob, drawn: Template, _settings: TemplateSettings) -> bytes:
    return panel_dxf(template_drawing(drawn), "R12")


KINDS: Mapping[str, Callable[[ReadJob, Template, TemplateSettings], bytes]] = {
    "tiles": _tiles,
    "roll": _roll,
    "svg": _svg,
    "dxf": _dxf,
    "r12": _r12,
}
ENDINGS = {"roll": "-roll.pdf", "svg": ".svg", "dxf": ".dxf", "r12": "-r12.dxf"}


def _title(drawn: Template) -> str:
    return f"Template {drawn.seen.title}"


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
    return Told(job=head.name, revision=head.revision, date=head.date, unit=read.job.dimension_unit)
