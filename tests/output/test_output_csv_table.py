"""Tables for other programs: read back as they were, and harmless in a spreadsheet."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cncpanel.output.csv_table import csv_table, harmless, markdown_table

CELL = st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=20)


@given(st.lists(st.tuples(CELL, CELL), min_size=1, max_size=5))
def test_a_table_reads_back_cell_for_cell(rows: list[tuple[str, str]]) -> None:
    data = csv_table(("name", "note"), rows).decode()
    head, *read = csv.reader(io.StringIO(data, newline=""), strict=True)
    assert ["name", "note"] == head
    assert [[harmless(cell) for cell in row] for row in rows] == read


@given(CELL)
def test_no_cell_begins_a_formula(text: str) -> None:
    assert not harmless(text).lstrip().startswith(("=", "+", "-", "@"))
    assert harmless(text) in (text, f"'{text}")


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)", " =1", "\t=1", "\n=1", "＝1", "＠a"])
def test_what_a_spreadsheet_would_reckon_with_becomes_text(text: str) -> None:
    assert f"'{text}" == harmless(text)


@pytest.mark.parametrize("text", ["side", "a=b", "18 mm", "x-y", "1.5", ""])
def test_plain_words_stay(text: str) -> None:
    assert text == harmless(text)


def test_quotes_commas_and_line_ends_are_kept_by_rfc_4180() -> None:
    assert b'a,b\r\n"1,5","say ""cheese"""\r\n' == csv_table(("a", "b"), [("1,5", 'say "cheese"')])


def test_a_text_table_keeps_its_columns() -> None:
    assert b"| a    | b  |\n| ---- | -- |\n| x\\|y | zz |\n" == markdown_table(("a", "b"), [("x|y", "zz")])


@pytest.mark.parametrize(
    ("name", "cell"),
    [
        ("<img src=x onerror=alert(1)>", "\\<img src=x onerror=alert(1)>"),
        ("[a](javascript:x)", "\\[a](javascript:x)"),
        ("`a` &lt;b &#60;i Rail & Stile a|b", "\\`a\\` \\&lt;b \\&#60;i Rail & Stile a\\|b"),
    ],
)
def test_no_name_is_html_a_link_or_code_in_markdown(name: str, cell: str):
    assert f"| {cell} |" in markdown_table(["name"], [[name]]).decode()
