"""Files damaged at random: bits, pieces, numbers and words that somebody may have written."""

import re
from collections.abc import Sequence
from random import Random

NUMBERS = (b"0", b"-0", b"-1", b"1e308", b"-1e308", b"1e-320", b"nan", b"inf", b"-inf", b"999999999999", b"0.0000001")
NUMBERS += (b"2147483648", b"0x7f", b"1_000", b"1,5", b"'9' * 9", b'"1e9 mm"', b'"2 ** 99"', b"[[[[]]]]", b"true")
WORDS = {
    "job": (
        b"[[panel]]\n",
        b'name = "../../x"\n',
        b'name = "a)\\nM3 S1(\\u0000"\n',
        b"copies = 200\n",
        b"dxf = { file = '/etc/passwd' }\n",
        b'size = ["width * width", 5]\n',
        b"[values]\na = 'a + 1'\n",
        b"[" * 400,
        b"{" * 300,
        b"\xff\xfe",
        b"'''",
        b"\x00",
    ),
    "drawing": (
        b"0\nINSERT\n2\nA\n",
        b"0\nLWPOLYLINE\n90\n99999999\n",
        b"0\nSPLINE\n71\n99\n",
        b"10\nnan\n",
        b"0\nEOF\n",
        b"0\nARC\n40\n1e300\n",
        b"70\n-1\n",
        b"42\n1e99\n",
        b"\xff\xfe\x00",
        b"0\nSECTION\n",
        b"999\n" + b"x" * 5000 + b"\n",
    ),
    "program": (
        b"G2 X1 Y1 R-0\n",
        b"G81 R1 Z-1 L99999999\n",
        b"[" * 2000,
        b"#1=#1\n",
        b"X#9999\n",
        b"G53 G0 X9e9\n",
        b"M3 S1e9\n",
        b"G20\n",
        b"G92 X0\n",
        b"G10 L2 P99 X1\n",
        b"(" * 90 + b"\n",
        b"%\n",
        b"O1\n",
        b"T-1 M6\n",
        b"/G1 X1\n",
        b"G93 F0 G1 X1\n",
        b"\x00\x1b[2J",
    ),
    "machine": (
        b"[[tool]]\n",
        b"diameter = 0\n",
        b"rpm_min = 99999\n",
        b"[travel]\n",
        b'kind = "laser"\n',
        b"lacks = ['G1']\n",
    ),
}


def damaged(corpus: Sequence[bytes], kind: str, random: Random) -> bytes:
    """One of the corpus with one to six things done to it; at most 300 kB."""
    content = random.choice(corpus)
    for _ in range(random.randint(1, 6)):
        content = random.choice(WAYS)(content, kind, random, corpus)
    return content[:300_000]


def _flip(content: bytes, _: str, random: Random, __: Sequence[bytes]) -> bytes:
    if not content:
        return content
    place = random.randrange(len(content))
    return content[:place] + bytes([content[place] ^ 1 << random.randrange(8)]) + content[place + 1 :]


def _cut(content: bytes, _: str, random: Random, __: Sequence[bytes]) -> bytes:
    start = random.randint(0, len(content))
    return content[:start] + content[start + random.randint(0, 200) :]


def _short(content: bytes, _: str, random: Random, __: Sequence[bytes]) -> bytes:
    return content[: random.randint(0, len(content))]


def _twice(content: bytes, _: str, random: Random, __: Sequence[bytes]) -> bytes:
    start = random.randint(0, len(content))
    return (
        content[:start] + content[start : start + random.randint(1, 400)] * random.choice((2, 3, 40)) + content[start:]
    )


def _splice(content: bytes, _: str, random: Random, corpus: Sequence[bytes]) -> bytes:
    other = random.choice(corpus)
    return content[: random.randint(0, len(content))] + other[random.randint(0, len(other)) :]


def _number(content: bytes, _: str, random: Random, __: Sequence[bytes]) -> bytes:
    places = [found.span() for found in re.finditer(rb"-?\d+\.?\d*", content)]
    if not places:
        return content
    start, stop = random.choice(places)
    return content[:start] + random.choice(NUMBERS) + content[stop:]


def _word(content: bytes, kind: str, random: Random, __: Sequence[bytes]) -> bytes:
    lines = content.split(b"\n")
    lines.insert(random.randint(0, len(lines)), random.choice(WORDS[kind]))
    return b"\n".join(lines)


def _line(content: bytes, _: str, random: Random, __: Sequence[bytes]) -> bytes:
    lines = content.split(b"\n")
    lines.insert(random.randrange(len(lines)), lines.pop(random.randrange(len(lines))))
    return b"\n".join(lines)


WAYS = (_flip, _cut, _short, _twice, _splice, _number, _number, _word, _line)
