"""Sizes of paper by name (ISO 216:2007 A series; ANSI/ASME Y14.1 A to E), and any size given."""

import re
from dataclasses import dataclass

from cncpanel.units import NUMBER

PAPERS = {
    "A4": (210.0, 297.0),
    "A3": (297.0, 420.0),
    "A2": (420.0, 594.0),
    "A1": (594.0, 841.0),
    "A0": (841.0, 1189.0),
    "Letter": (215.9, 279.4),  # 8.5 x 11 in, ANSI A
    "Tabloid": (279.4, 431.8),  # 11 x 17 in, ANSI B
    "ANSI C": (431.8, 558.8),  # 17 x 22 in
    "ANSI D": (558.8, 863.6),  # 22 x 34 in
    "ANSI E": (863.6, 1117.6),  # 34 x 44 in
}
LANDSCAPE = " landscape"
LEAST, MOST = 100.0, 5000.0  # mm; smaller pages have no room for a bar of 100, no printer takes larger ones
ALLOWED = f"{', '.join(PAPERS)}, each with ' landscape' if need be, or a size such as 300x500 or 12x18in"
_GIVEN = re.compile(rf"({NUMBER})\s*(mm|in)?\s*x\s*({NUMBER})\s*(mm|in)?", re.IGNORECASE | re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperSize:
    """A page's name, width and height in mm."""

    name: str
    width: float
    height: float


def paper_size(text: str) -> PaperSize:
    """The size by its name or as given; ValueError says what is wrong and what is allowed."""
    words = text.strip()
    across = words.lower().endswith(LANDSCAPE)
    bare = words[: -len(LANDSCAPE)].strip() if across else words
    found = next((name for name in PAPERS if name.lower() == bare.lower()), None)
    width, height = PAPERS[found] if found else _given(bare)
    if min(width, height) < LEAST or max(width, height) > MOST:
        raise ValueError(f"a page of {width:g} x {height:g} mm cannot be used (sides of {LEAST:g} to {MOST:g} mm)")
    width, height = (height, width) if across else (width, height)
    return PaperSize(name=(found or bare) + (LANDSCAPE if across else ""), width=width, height=height)


def _given(text: str) -> tuple[float, float]:
    match = _GIVEN.fullmatch(text)
    if not match:
        raise ValueError(f'"{text}" is not a size of paper ({ALLOWED})')
    first, last = match[2] or match[4] or "mm", match[4] or match[2] or "mm"
    factors = {"mm": 1.0, "in": 25.4}
    return float(match[1]) * factors[first.lower()], float(match[3]) * factors[last.lower()]
