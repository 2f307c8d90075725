"""Paper against what is published: sizes, counts of tiles, units of files, boxes of pages."""

from io import StringIO
from math import pi, sqrt

import ezdxf
import pytest
from paper_samples import job
from pdf_measure import measured
from pypdf import PdfReader

from cncpanel.drawing.tiles import count
from cncpanel.job.paper_size import PAPERS, paper_size
from cncpanel.make.artwork import artwork_files
from cncpanel.make.templates import template_files

ISO = {"A0": (841, 1189), "A1": (594, 841), "A2": (420, 594), "A3": (297, 420), "A4": (210, 297)}
INCHES = {"Letter": (8.5, 11), "Tabloid": (11, 17), "ANSI C": (17, 22), "ANSI D": (22, 34), "ANSI E": (34, 44)}


@pytest.mark.parametrize("name", ISO)
def test_the_a_series_is_that_of_iso_216(name: str) -> None:
    """ISO 216:2007, table 1; each is half of the one before, sides as 1 to the root of 2, A0 one square metre."""
    assert ISO[name] == PAPERS[name]
    assert PAPERS[name][1] / PAPERS[name][0] == pytest.approx(sqrt(2), abs=0.006)
    assert PAPERS["A0"][0] * PAPERS["A0"][1] == pytest.approx(1e6, rel=1e-3)


@pytest.mark.parametrize("name", INCHES)
def test_the_american_sizes_are_those_of_asme_y14_1(name: str) -> None:
    """ASME Y14.1, sizes A to E in inches; the inch of 25.4 mm (international yard and pound agreement, 1959)."""
    assert tuple(side * 25.4 for side in INCHES[name]) == pytest.approx(PAPERS[name])


@pytest.mark.parametrize(("paper", "columns", "rows"), [("A4", 4, 6), ("A3", 3, 5)])
def test_a_panel_of_620_by_1600_takes_so_many_tiles(paper: str, columns: int, rows: int) -> None:
    """n = ceil((L - overlap) / (paper - 2 margin - overlap)), margin 10, overlap 10: common practice, no source."""
    size = paper_size(paper)
    assert (columns, rows) == (count(620, size.width - 20, 10), count(1600, size.height - 20, 10))


def test_files_say_millimetres_as_the_dxf_reference_has_it() -> None:
    """DXF reference, HEADER: $INSUNITS 4 is millimetres, $ACADVER AC1024 R2010 and AC1009 R12, which has no unit."""
    read, panels = job("millrace")
    files = template_files(read, next(panel for panel in panels if panel.name == "control deck"))
    texts = {name.rpartition("deck")[2]: content for name, content in files.items()}
    new = ezdxf.read(StringIO(texts[".dxf"].decode("utf-8")))
    old = ezdxf.read(StringIO(texts["-r12.dxf"].decode("cp1252")))
    assert ("AC1024", 4) == (new.dxfversion, new.header["$INSUNITS"])
    assert "AC1009" == old.dxfversion
    assert "$INSUNITS" not in texts["-r12.dxf"].decode("cp1252")
    for document in (new, old):
        audit = document.audit()
        assert ([], []) == (audit.errors, audit.fixes)


def test_a_page_of_artwork_has_the_boxes_of_iso_32000() -> None:
    """ISO 32000-1, 14.11.2: the trim box is the finished size; the bleed box holds it, the media box holds both."""
    read, panels = job("lit_sign")
    (page,) = measured(artwork_files(read, panels[0])["panel01-face-show.pdf"])
    media, bleed, trim = (page.boxes[name] for name in ("MediaBox", "BleedBox", "TrimBox"))
    for inner, outer in ((trim, bleed), (bleed, media)):
        assert outer[0] < inner[0] < inner[2] < outer[2]
        assert outer[1] < inner[1] < inner[3] < outer[3]
    assert (trim[2] - trim[0], trim[3] - trim[1]) == pytest.approx((640, 160), abs=0.001)


def test_film_over_a_rounded_edge_is_longer_by_the_quarter_circle_less_its_radius() -> None:
    """A quarter of a circle is pi/2 R long where the drawn outline has R (geometry): 3.4 over R6, 1.7 over R3."""
    read, panels = job("lit_sign")
    (page,) = measured(artwork_files(read, panels[0])["panel01-face-show.pdf"])
    bleed, trim = page.boxes["BleedBox"], page.boxes["TrimBox"]
    assert trim[0] - bleed[0] == pytest.approx(10 + (pi / 2 - 1) * 3 + 4, abs=0.001)


def test_a_user_unit_is_only_in_files_of_pdf_1_6(tmp_path) -> None:
    """ISO 32000-1, table 30: UserUnit since PDF 1.6; annex C.2: a page is at most 14,400 units in either direction."""
    read, panels = job("lit_sign")
    path = tmp_path / "face.pdf"
    path.write_bytes(artwork_files(read, panels[0])["panel01-face-show.pdf"])
    reader = PdfReader(path)
    assert ("%PDF-1.4", None) == (reader.pdf_header, reader.pages[0].get("/UserUnit"))
