"""Whatever TOML is written, every key is found on the line where the writer put it."""

import tomllib
from dataclasses import dataclass, field

from hypothesis import given
from hypothesis import strategies as st

from cncpanel.errors.lines import KeyPath, TooDeepError, lines_of

BARE = st.text("abcdefg-_01", min_size=1, max_size=4)
QUOTED = st.text('xyz .[]{}#="\\\t€', max_size=5)
KEYS = st.one_of(BARE, QUOTED)
SCALARS = st.sampled_from(
    [
        "1",
        "-2.5e3",
        "true",
        "inf",
        "0x1F",
        "1979-05-27 07:32:00",
        '"a # [ ] { } = \\" b"',
        "'# \" ['",
        '""',
        "''",
        '"""one\n[[two]]\n"quoted" \\"""\n"""',
        "'''\n# [x]\n'''",
        '"""end"""""',
        '""""""',
        "'''y'''''",
    ]
)
TREES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=4), st.dictionaries(KEYS, inner.filter(lambda v: "\n" not in str(v)), max_size=3)
    ),
    max_leaves=12,
)
GAPS = st.sampled_from(["", " ", "\n", " # note ] }\n", "\n\n\t"])


def _key(key: str) -> str:
    if key and all(c in "abcdefg-_01" for c in key):
        return key
    escaped = key.replace("\\", "\\\\").replace('"', '\\"').replace("\t", "\\t")
    return f'"{escaped}"'


@dataclass
class Writer:
    """Writes TOML and notes the line of every key path as it goes."""

    draw: st.DrawFn
    text: str = ""
    lines: dict[KeyPath, int] = field(default_factory=dict)

    def note(self, path: KeyPath) -> None:
        self.lines.setdefault(path, self.text.count("\n") + 1)

    def gap(self, allowed: bool) -> None:
        self.text += self.draw(GAPS) if allowed else ""

    def value(self, path: KeyPath, tree: object, one_line: bool) -> None:
        self.note(path)
        if isinstance(tree, str):
            self.text += tree
        elif isinstance(tree, list):
            self.text += "["
            for index, entry in enumerate(tree):
                self.gap(not one_line)
                self.value((*path, index), entry, one_line)
                self.gap(not one_line)
                self.text += "," if index < len(tree) - 1 or (not one_line and self.draw(st.booleans())) else ""
            self.gap(not one_line)
            self.text += "]"
        elif isinstance(tree, dict):
            self.text += "{ "
            for index, (key, entry) in enumerate(tree.items()):
                self.text += ", " if index else ""
                self.note((*path, key))
                self.text += f"{_key(key)} = "
                self.value((*path, key), entry, one_line=True)
            self.text += " }"

    def pairs(self, path: KeyPath, pairs: dict[str, object]) -> None:
        for key, tree in pairs.items():
            self.gap(True)
            if self.text and not self.text.endswith("\n"):
                self.text += "\n"
            self.note((*path, key))
            self.text += f"{_key(key)} = "
            self.value((*path, key), tree, one_line=False)
            self.text += self.draw(st.sampled_from(["\n", "  # note [x]\n"]))


@st.composite
def files(draw: st.DrawFn) -> Writer:
    writer = Writer(draw)
    writer.pairs((), draw(st.dictionaries(KEYS, TREES, max_size=3)))
    counts: dict[str, int] = {}
    names = st.text("PQR", min_size=1, max_size=1)  # apart from the top level's keys
    for name in draw(st.lists(names, max_size=5)):
        index = counts.get(name, 0)
        counts[name] = index + 1
        writer.note((name,))
        writer.note((name, index))
        writer.text += f"[[ {name} ]]\n"
        writer.pairs((name, index), draw(st.dictionaries(KEYS, TREES, max_size=2)))
        if draw(st.booleans()):
            writer.note((name, index, "Sub"))
            writer.text += f"[{name}.Sub]  # note\n"
            writer.pairs((name, index, "Sub"), draw(st.dictionaries(KEYS, TREES, max_size=2)))
    return writer


@given(files())
def test_every_key_is_found_on_its_line(writer: Writer) -> None:
    tomllib.loads(writer.text)  # what was written is TOML
    found = lines_of(writer.text)

    def line(path: KeyPath) -> int:
        return next(found[path[:n]] for n in range(len(path), 0, -1) if path[:n] in found)

    assert writer.lines == {path: line(path) for path in writer.lines}


@given(st.text("a=[]{}\"'#\n.,\\ 1", max_size=60))
def test_the_walk_ends_on_any_text(text: str) -> None:
    try:
        found = lines_of(text)
    except TooDeepError:
        return
    assert all(1 <= line <= text.count("\n") + 1 for line in found.values())
