"""Paper: the whole set of the demo console against a plain reportlab run that draws as many strokes and texts.

The plain run knows nothing of panels: on as many pages it draws as many paths, each of as many lines and curves, and
writes as many texts, all at places that were worked out before.
"""

import time
from collections.abc import Callable
from io import BytesIO

import pytest
from pypdf import PdfReader
from pypdf.generic import ContentStream
from reportlab.pdfgen.canvas import Canvas

from cncpanel.drawing.template import template
from cncpanel.make import files, templates
from cncpanel.make.choice import Choice
from cncpanel.make.flow import Made, make

Step = tuple[str, list[float]]
Stroke = list[Step]
Sheet = tuple[list[Stroke], list[str]]


@pytest.fixture(scope="module")
def made(fixtures) -> Made:
    return make(fixtures / "jobs" / "millrace.toml", Choice(), lambda _: None)


def paper_set(made: Made) -> list[bytes]:
    """Every PDF of the job: its sheets, each panel's template in tiles and in one piece."""
    settings = made.read.job.settings.template
    pdfs = [content for name, content in files.KINDS["sheets"](made).items() if name.endswith(".pdf")]
    for panel in made.panels:
        for view in templates.views(made.read, panel, "show"):
            drawn = template(view, made.read.job.job.units)
            pdfs += [templates.KINDS[kind](made.read, drawn, settings) for kind in ("tiles", "roll")]
    return pdfs


def recorded(content: bytes) -> list[Sheet]:
    """The strokes and texts of each page: path operators as they stand, painted or not counted; words."""
    reader = PdfReader(BytesIO(content))
    sheets = []
    for page in reader.pages:
        strokes: list[Stroke] = []
        texts: list[str] = []
        current: Stroke = []
        for operands, operator in ContentStream(page.get_contents(), reader).operations:
            name = operator.decode()
            if name in ("m", "l", "c"):
                current.append((name, [float(value) for value in operands]))
            elif name in ("S", "s", "f", "f*", "B", "b", "B*", "b*"):
                strokes += [current] if current else []
                current = []
            elif name == "n":
                current = []
            elif name in ("Tj", "TJ", "'"):
                texts.append(str(operands[0]))
        sheets.append((strokes, texts))
    return sheets


def plain_run(documents: list[list[Sheet]]) -> Callable[[], list[bytes]]:
    """Draws the recorded strokes and texts, one canvas for each document."""

    def run() -> list[bytes]:
        return [drawn_plainly(sheets) for sheets in documents]

    return run


def drawn_plainly(sheets: list[Sheet]) -> bytes:
    stream = BytesIO()
    canvas = Canvas(stream, pageCompression=1, invariant=1)
    for strokes, texts in sheets:
        for stroke in strokes:
            path = canvas.beginPath()
            add = {"m": path.moveTo, "l": path.lineTo, "c": path.curveTo}
            for name, values in stroke:
                add[name](*values)
            canvas.setLineWidth(0.5)
            canvas.drawPath(path)
        canvas.setFont("Helvetica", 7)
        for number, text in enumerate(texts):
            canvas.drawString(20, 800 - 7 * (number % 100), text)
        canvas.showPage()
    canvas.save()
    return stream.getvalue()


@pytest.mark.benchmark(timer=time.process_time)
def test_the_whole_paper_set_against_as_many_strokes_and_texts(race: Callable[..., float], made: Made) -> None:
    documents = [recorded(content) for content in paper_set(made)]
    strokes = sum(len(strokes) for sheets in documents for strokes, _ in sheets)
    texts = sum(len(texts) for sheets in documents for _, texts in sheets)
    assert strokes > 2000
    assert texts > 2000
    name = f"paper of millrace / reportlab, {strokes} strokes, {texts} texts"
    race(name, lambda: paper_set(made), plain_run(documents), limit=3)
