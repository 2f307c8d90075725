"""Thin scrap that stays standing beside kerfs, along the sheet's edge or between parts: it can break off and be thrown.

Small pieces are cut away whole (`waste`); a strip that hangs on the rest at its ends is neither small nor firm.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil

from cncpanel.errors import Place
from cncpanel.geometry.area import Area
from cncpanel.geometry.pieces import WEB, Pieces
from cncpanel.passes.waste import Kerf
from cncpanel.passes.work import Work

THIN = 3.0  # mm; narrower scrap is told of: common practice, no source
LONG = 30.0  # mm; a shorter neck between wider scrap holds: common practice, no source
NEAR = 0.1  # mm; a strip borders on what lies no farther from it, chords and webs too thin to count reckoned in


@dataclass(frozen=True, slots=True)
class Crumb:
    """A thin strip: where to tell it, how, and what to change."""

    place: Place
    text: str
    allowed: str


def crumbs(
    pieces: Pieces, parts: Sequence[Work], kerfs: Sequence[Kerf], sheet: Area, owned: Sequence[int]
) -> Iterator[Crumb]:
    """The worst strip between each two parts, and between each part and the sheet's edge."""
    found: dict[tuple[str, ...], tuple[float, Crumb]] = {}
    for strip in _thin(pieces, owned):
        beside = {kerf.part for kerf in kerfs if kerf.area.gap(strip) < WEB + NEAR}
        works = sorted((work for work in parts if work.part.label in beside), key=lambda work: work.area.gap(strip))
        if works:
            at_edge = not strip.grown(NEAR).minus(sheet).is_empty
            key = (*sorted(work.part.label for work in works[: 1 if at_edge else 2]), "" if at_edge else "between")
            crumb = _at_edge(strip, works[0], kerfs, sheet) if at_edge else _between(strip, works, kerfs)
            found[key] = min(found.get(key, (THIN, crumb)), (strip.mean_width, crumb), key=lambda one: one[0])
    for _, crumb in found.values():
        yield crumb


def _thin(pieces: Pieces, owned: Sequence[int]) -> Iterator[Area]:
    for number, area in enumerate(pieces.areas):
        if number not in owned:
            firm = area.grown(NEAR / 2 - THIN / 2).grown(THIN / 2 + NEAR)
            yield from (strip for strip in area.minus(firm).parts if _length(strip) > LONG)


def _length(strip: Area) -> float:
    left, low, right, high = strip.bounds
    return max(right - left, high - low)


def _at_edge(strip: Area, work: Work, kerfs: Sequence[Kerf], sheet: Area) -> Crumb:
    apart = work.area.gap(sheet.outside)
    where = f"between {work.part.label} and the sheet's edge"
    return _crumb(strip, work, where, "stock.margin", _width(kerfs, work), apart)


def _between(strip: Area, works: Sequence[Work], kerfs: Sequence[Kerf]) -> Crumb:
    first = works[0]
    if len(works) == 1:
        return _crumb(strip, first, f"beside {first.part.label}", "settings.gap", 2 * _width(kerfs, first), None)
    first, second = sorted(works[:2], key=lambda work: work.part.label)
    apart, wide = first.area.gap(second.area), _width(kerfs, first) + _width(kerfs, second)
    return _crumb(strip, first, f"between {first.part.label} and {second.part.label}", "settings.gap", wide, apart)


def _width(kerfs: Sequence[Kerf], work: Work) -> float:
    return max(kerf.tool.cut_diameter for kerf in kerfs if kerf.part == work.part.label)


def _crumb(strip: Area, work: Work, where: str, key: str, kerfs: float, apart: float | None) -> Crumb:
    """`kerfs`: as wide as the tools that cut to both sides of it; `apart`: what lies to both sides, mm."""
    at, wide = strip.inner_point, strip.mean_width
    text = (
        f"scrap {wide:.1f} mm wide and {_length(strip):.0f} mm long stands {where} at ({at.x:.1f}, {at.y:.1f}) on the "
        "sheet: it can break off and be thrown"
    )
    least = kerfs + THIN if apart is None else apart + THIN - wide
    return Crumb(work.place, text, f"{key} of at most {kerfs:g} or at least {ceil(10 * least) / 10:g}")
