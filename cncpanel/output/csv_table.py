"""Tables as CSV (RFC 4180) and as Markdown, for any program that reads tables; no cell acts as a formula there."""

import csv
import io
import re
import unicodedata
from collections.abc import Iterable, Sequence

STARTS_A_FORMULA = tuple("=+-@")
GUARD = "'"  # spreadsheets take what follows it as text
_ACTS = re.compile(r"[\\|<`\[]|&(?=#?\w+;)")  # in Markdown: escapes, bars, tags, code, links, entities


def csv_table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """UTF-8, CRLF, quotes doubled, fields quoted where they hold a comma, a quote or a line break."""
    stream = io.StringIO(newline="")
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow(map(harmless, head))
    writer.writerows(map(harmless, row) for row in rows)
    return stream.getvalue().encode()


def harmless(text: str) -> str:
    """The text with a quote before it where a spreadsheet would reckon with it; wide forms of the signs count too."""
    plain = unicodedata.normalize("NFKC", text).strip()
    return f"{GUARD}{text}" if plain.startswith(STARTS_A_FORMULA) or text[:1] in ("\t", "\r", "\n") else text


def markdown_table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """A table of plain text that reads as it stands: columns in line; no cell parts one, or is HTML, a link or code.

    Source of the escapes: CommonMark 0.31, section 2.4, from memory.
    """
    table = [[_cell(text) for text in row] for row in (head, *rows)]
    widths = [max(map(len, column)) for column in zip(*table, strict=True)]
    first, *rest = ["| " + " | ".join(c.ljust(w) for c, w in zip(row, widths, strict=True)) + " |" for row in table]
    rule = "| " + " | ".join("-" * width for width in widths) + " |"
    return ("\n".join([first, rule, *rest]) + "\n").encode()


def _cell(text: str) -> str:
    return " ".join(_ACTS.sub(r"\\\g<0>", text).split())
