"""The shop's papers as one set: cover, set-up, feeds, cut list, hardware, assembly, drawings; labels, lists."""

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from cncpanel.drawing.assembly_pieces import assembly_pieces, hardware_pieces
from cncpanel.drawing.cover import cover_pieces
from cncpanel.drawing.cut_list import HEAD, cut_list_pieces, list_table
from cncpanel.drawing.dimension import Dimensioning
from cncpanel.drawing.feeds import cut_rows, feeds_pieces
from cncpanel.drawing.measures import Measures
from cncpanel.drawing.packing_pieces import packing_pieces
from cncpanel.drawing.panel_drawing_pieces import DrawnPanel, panel_pieces
from cncpanel.drawing.paper import Document, Heading, PaperSize, Piece
from cncpanel.drawing.saw_pages import SawPages, saw_pieces
from cncpanel.drawing.seen import Seen
from cncpanel.drawing.setup import SetUp, setup_pieces
from cncpanel.drawing.slot_notes import slot_pieces
from cncpanel.job.read import ReadJob
from cncpanel.layout.layout import Sheet
from cncpanel.layout.leftover import Leftover
from cncpanel.layout.saw.plan import SawPlan
from cncpanel.layout.turned import turned_leftover
from cncpanel.make.cut_list import in_fractions, listed_of
from cncpanel.make.flow import Made
from cncpanel.make.labels import labels_pdf
from cncpanel.make.offcut_labels import offcut_labels_pdf
from cncpanel.make.sheet_set import SheetSet
from cncpanel.operation.operation import PanelPlan
from cncpanel.output.csv_table import csv_table, markdown_table
from cncpanel.output.pdf import pdf
from cncpanel.panel.panel import Panel

RackNames = Mapping[int, Mapping[str, str]]  # by sheet and piece
NO_RACK: RackNames = MappingProxyType({})
SHEETS, LABELS, OFFCUT_LABELS = "sheets/sheets.pdf", "sheets/labels.pdf", "sheets/offcut-labels.pdf"
CUT_CSV, CUT_TEXT = "sheets/cut-list.csv", "sheets/cut-list.md"
SHORT = 12  # hexadecimal digits of the checksum on paper: 48 bits tell any two jobs of a shop apart


def paper_files(made: Made) -> dict[str, bytes]:
    """Every paper by its path in the job's folder."""
    offcut_labels = offcut_labels_pdf(made)
    return {
        SHEETS: pdf(document(made)),
        LABELS: labels_pdf(made),
        **({OFFCUT_LABELS: offcut_labels} if offcut_labels else {}),
        **cut_list_files(made.read, made.panels),
    }


def document(made: Made) -> Document:
    """The whole set; on Letter paper where the job is in inches."""
    read = made.read
    empty = _empty(read, proven=made.passed)
    width = empty.frame_width
    sawn = saw_pieces(saw_pages(read, made.panels, made.saw), width) if made.saw else ()
    pieces = [*_machine_pieces(made, width), *sawn, *_bench_pieces(read, made.panels, width)]
    return _with(empty, pieces)


def drawing_document(read: ReadJob, panel: Panel, paper: PaperSize | None = None) -> Document:
    """One panel's drawing alone; on the job's paper where none is given."""
    empty = _empty(read, proven=True, paper=paper)
    return _with(empty, panel_pieces(_drawn(read, panel, 1, 1), _dimensioning(read), empty.frame_width))


def saw_document(read: ReadJob, panels: tuple[Panel, ...], plan: SawPlan, names: RackNames = NO_RACK) -> Document:
    """The saw plan alone."""
    empty = _empty(read, proven=True)
    return _with(empty, list(saw_pieces(saw_pages(read, panels, plan, names), empty.frame_width)))


def bench_document(read: ReadJob, panels: tuple[Panel, ...], plan: SawPlan, names: RackNames) -> Document:
    """The whole set of a job for the saw only."""
    empty = _empty(read, proven=True)
    width, head = empty.frame_width, read.job.job
    cover = cover_pieces(head, None, checksum(read), proven=True, sheets=len(plan.sheets), panels=len(panels))
    pages = saw_pages(read, panels, plan, names)
    slots = slot_pieces(panels, pages.measures)
    told = [Heading("Slots along edges", 1), *slots] if slots else []
    return _with(empty, [*cover, *saw_pieces(pages, width), *told, *_bench_pieces(read, panels, width)])


def cut_list_files(read: ReadJob, panels: tuple[Panel, ...]) -> dict[str, bytes]:
    """The cut list as tables."""
    table = list_table(listed_of(read, panels), fractions=in_fractions(read))
    return {CUT_CSV: csv_table(HEAD, table), CUT_TEXT: markdown_table(HEAD, table)}


def saw_pages(read: ReadJob, panels: tuple[Panel, ...], plan: SawPlan, names: RackNames = NO_RACK) -> SawPages:
    """What the plan's pages are made from."""
    by_index = {panel.index: panel for panel in panels}
    return SawPages(head=read.job.job, plan=plan, panels=by_index, told=_dimensioning(read), names=names)


def _empty(read: ReadJob, *, proven: bool, paper: PaperSize | None = None) -> Document:
    head = read.job.job
    title = f"{head.name}, revision {head.revision}"
    verdict = "" if proven else "NOT PROVEN: DO NOT CUT. "
    given = f", {head.date}" if head.date else ""
    foot = f"{verdict}{title}{given}. Job file SHA-256 {checksum(read)}"
    return Document(title=title, foot=foot, pieces=(), paper=paper or ("Letter" if head.units == "inch" else "A4"))


def _with(empty: Document, pieces: list[Piece]) -> Document:
    return Document(title=empty.title, foot=empty.foot, pieces=tuple(pieces), paper=empty.paper)


def checksum(read: ReadJob) -> str:
    """The beginning of the job file's SHA-256, as the file was read."""
    return read.file.sha256[:SHORT]


def _machine_pieces(made: Made, width: float) -> Iterator[Piece]:
    """What goes to the machine."""
    head = made.read.job.job
    yield from cover_pieces(
        head,
        made.machine,
        checksum(made.read),
        proven=made.passed,
        sheets=len(made.sheets),
        panels=len(made.panels),
    )
    yield from packing_pieces(made.layout, made.panels, made.left, made.read.job.dimension_unit)
    for sheet in made.sheets:
        for one in sheet.set_ups:
            yield from setup_pieces(setup_of(made, one), width)
    rows = cut_rows((one.sheet.stock, one.runs) for sheet in made.sheets for one in sheet.set_ups)
    yield from feeds_pieces(rows, made.machine, Measures.of(head, made.machine), made.read.job.settings)


def _bench_pieces(read: ReadJob, panels: tuple[Panel, ...], width: float) -> Iterator[Piece]:
    """What goes to the bench."""
    job, told = read.job, _dimensioning(read)
    rows, fractions = listed_of(read, panels), in_fractions(read)
    yield from cut_list_pieces(rows, job.settings.rough, job.job.units, fractions=fractions)
    yield from hardware_pieces(job)
    yield from assembly_pieces(job, panels, told, width)
    for number, panel in enumerate(panels, start=1):
        yield from panel_pieces(_drawn(read, panel, number, len(panels)), told, width)


def _dimensioning(read: ReadJob) -> Dimensioning:
    return Dimensioning.of(read.job)


def _drawn(read: ReadJob, panel: Panel, number: int, count: int) -> DrawnPanel:
    asked = read.job.panel[panel.index]
    return DrawnPanel(
        seen=Seen(panel=panel, edges=asked.edge),
        head=read.head_of(panel.index),
        note=asked.note,
        checksum=checksum(read),
        number=number,
        count=count,
    )


def _plans(made: Made, sheet: SheetSet) -> tuple[PanelPlan, ...]:
    """Those of the faces that lie up."""
    side = sheet.sheet.side
    return made.reverse if side is not None and side.number == 1 else made.plans


def setup_of(made: Made, sheet: SheetSet) -> SetUp:
    """What the set-up pages of a sheet need."""
    return SetUp(
        job=made.read.job.job,
        settings=made.read.job.settings,
        machine=made.machine,
        sheet=sheet.sheet,
        sheets=len(made.sheets),
        plans={plan.panel.index: plan for plan in _plans(made, sheet)},
        runs=sheet.runs,
        programs=[(written.program, written.time) for written in sheet.programs],
        trace=sheet.trace.program if sheet.trace else None,
        dry=(sheet.dry.program, sheet.dry.time) if sheet.dry else None,
        spot=sheet.spot,
        proven=made.passed,
        left=_left(made, sheet.sheet),
    )


def _left(made: Made, sheet: Sheet) -> tuple[Leftover, ...]:
    """The pieces for the rack where they lie in this set-up."""
    left, side = made.left.get(sheet.number, ()), sheet.side
    if side is None or side.number == 2:
        return left
    return tuple(turned_leftover(piece, sheet.stock.sheet, side.axis) for piece in left)
