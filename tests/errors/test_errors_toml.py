"""TOML files: where every key stands, and what is said of files that cannot be read."""

from pathlib import Path

import pytest

from cncpanel.errors import Place, ProblemsFound
from cncpanel.errors.toml import TomlFile, read_toml

TWO_BYTES = "a.toml:1: not UTF-8 text: two bytes a letter, as UTF-16 has (save it as UTF-8)"


def read(folder: Path, text: str | bytes) -> TomlFile:
    path = folder / "a.toml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_toml(path)


def refusal(folder: Path, text: str | bytes) -> str:
    with pytest.raises(ProblemsFound) as raised:
        read(folder, text)
    return str(raised.value)


def test_headers_keys_and_elements_have_their_lines(tmp_path: Path) -> None:
    file = read(
        tmp_path,
        """# a comment with [brackets] and key = 1
top = 1
dotted.key = 2          # both parts

[table]
"quoted \\"key\\"" = "# no comment"
'literal' = '''
[no header]
'''
list = [1, [2,
    3], # ] not the end
    { inner = "}", other = [4] },
]

[[panel]]
name = "first"
[[panel.hole]]
at = 1
[[panel]]
name = \"\"\"
[[panel]]
name\"\"\"
[panel.sub.deep]
x = 1
[[panel.hole]]
[[panel.hole]]
at = 2
""",
    )
    expected = {
        ("top",): 2,
        ("dotted",): 3,
        ("dotted", "key"): 3,
        ("table",): 5,
        ("table", 'quoted "key"'): 6,
        ("table", "literal"): 7,
        ("table", "list"): 10,
        ("table", "list", 0): 10,
        ("table", "list", 1, 1): 11,
        ("table", "list", 2): 12,
        ("table", "list", 2, "inner"): 12,
        ("table", "list", 2, "other", 0): 12,
        ("panel",): 15,
        ("panel", 0): 15,
        ("panel", 0, "name"): 16,
        ("panel", 0, "hole", 0): 17,
        ("panel", 0, "hole", 0, "at"): 18,
        ("panel", 1): 19,
        ("panel", 1, "name"): 20,
        ("panel", 1, "sub", "deep"): 23,
        ("panel", 1, "sub", "deep", "x"): 24,
        ("panel", 1, "hole", 0): 25,
        ("panel", 1, "hole", 1): 26,
        ("panel", 1, "hole", 1, "at"): 27,
    }
    assert expected == {path: file.place(path).line for path in expected}


def test_an_unknown_key_is_placed_at_its_nearest_parent(tmp_path: Path) -> None:
    file = read(tmp_path, "\n[[panel]]\n\nsize = [1, 2]\n")
    assert Place("a.toml", 2, "panel[0].outline[3]") == file.place(("panel", 0, "outline", 3))
    assert Place("a.toml", 4, "panel[0].size[7]") == file.place(("panel", 0, "size", 7))
    assert Place("a.toml", 0, "job") == file.place(("job",))
    assert Place("a.toml") == file.place()


def test_a_key_that_is_not_bare_is_shown_quoted(tmp_path: Path) -> None:
    file = read(tmp_path, '[values]\n"two words" = 1\n')
    assert str(file.place(("values", "two words"))) == 'a.toml:2: values."two words"'


def test_windows_line_ends_and_a_byte_order_mark_change_nothing(tmp_path: Path) -> None:
    file = read(tmp_path, b'\xef\xbb\xbfa = 1\r\nb = [\r\n1,\r\n2]\r\nc = """x\r\ny"""\r\nd = 4\r\n')
    assert [file.place(p).line for p in [("a",), ("b",), ("b", 1), ("c",), ("d",)]] == [1, 2, 4, 5, 7]


def test_strings_that_end_in_quotes_are_passed_over_whole(tmp_path: Path) -> None:
    file = read(tmp_path, 'a = """x"""""\nb = """"""\nc = \'\'\'y\'\'\'\'\'\nd = "\\\\"\ne = """\\"""\n"""\nf = 1\n')
    assert {key: file.place((key,)).line for key in file.data} == {"a": 1, "b": 2, "c": 3, "d": 4, "e": 5, "f": 7}


def test_a_value_is_found_by_its_path(tmp_path: Path) -> None:
    file = read(tmp_path, "a = [{ b = [1, 2] }]\n")
    assert file.value(("a", 0, "b", 1)) == 2
    assert None is file.value(("a", 1, "b"))
    assert None is file.value(("a", "b"))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a = 1\nb 2\n", "a.toml:2: not TOML: expected '=' after a key in a key/value pair, at column 3"),
        ("a = 1\n\nb = [1,\n", "a.toml:4: not TOML: invalid value, at the end of the file"),
        ("a = 1\n".encode("utf-16"), TWO_BYTES),
        ("a = 1\n".encode("utf-16-be"), TWO_BYTES),
        (b"a = 1\nb = '\xfc'\n", "a.toml:2: not UTF-8 text: byte 0xfc (save it as UTF-8)"),
        ("\na = " + "[" * 300, "a.toml:2: tables or lists nested more than 100 deep"),
        ("\na = " + "{a=" * 300, "a.toml:2: tables or lists nested more than 100 deep"),
        ("\n[" + ".".join("a" * 300) + "]\n", "a.toml:2: tables or lists nested more than 100 deep"),
        ("\n" + ".".join("a" * 300) + " = 1\n", "a.toml:2: tables or lists nested more than 100 deep"),
        ("\na = " + "9" * 5000, "a.toml:2: a number with thousands of digits"),
        (b"#" * 8_000_001, "a.toml: larger than 8 MB (a job file is text of a few hundred kB at most)"),
    ],
    ids=["syntax", "end", "UTF-16", "UTF-16 bare", "encoding", "lists", "tables", "header", "dotted", "digits", "size"],
)
def test_a_file_that_cannot_be_read_says_why(tmp_path: Path, text: str | bytes, expected: str) -> None:
    assert expected == refusal(tmp_path, text)


def test_a_missing_file_and_a_folder_are_named(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound) as missing:
        read_toml(tmp_path / "none.toml")
    with pytest.raises(ProblemsFound) as folder:
        read_toml(tmp_path)
    with pytest.raises(ProblemsFound) as impossible:
        read_toml(tmp_path / "a\0b.toml")
    assert str(missing.value) == "none.toml: no such file"
    assert f"{tmp_path.name}: a folder, not a file" == str(folder.value)
    assert "embedded null byte" in str(impossible.value)


def test_nesting_up_to_the_bound_is_read(tmp_path: Path) -> None:
    file = read(tmp_path, "a = " + "[" * 98 + "]" * 98)
    assert file.place(("a",)).line == 1
