"""Which tools of the rack make all features: the fewest first, then flutes that suit the faces, then least time.

Exact, over all subsets.
"""

from collections.abc import Iterator, Sequence
from itertools import combinations

from cncpanel.operation.way import Need, Way

NEGLIGIBLE = 0.01  # mm2; a difference in what is left below this decides nothing


def acceptable(need: Need) -> tuple[Way, ...]:
    """The ways that leave no more behind than the best of them must; of these the sturdy ones, if there are any."""
    least = min((way.avoidable for way in need.ways), default=0.0)
    clean = tuple(way for way in need.ways if way.avoidable <= least + NEGLIGIBLE)
    return tuple(way for way in clean if not way.slender) or clean


def choose(needs: Sequence[Need]) -> list[Way]:
    """A way for every need (each has at least one): the fewest tools together, flutes that suit, the least time."""
    options = [{way.tool.number: way for way in acceptable(need)} for need in needs]
    kinds = sorted({frozenset(option) for option in options}, key=sorted)
    rack = sorted(set().union(*kinds)) if kinds else []
    size, best = len(rack), None
    for subset in _subsets(rack):
        if best is not None and len(subset) > size:
            break
        if all(kind & subset for kind in kinds):
            size = len(subset)
            picked = [_quickest(option, subset) for option in options]
            score = (sum(way.frays for way in picked), sum(way.time_s for way in picked), sorted(subset))
            if best is None or score < best[0]:
                best = (score, picked)
    return best[1] if best else []


def _subsets(rack: Sequence[int]) -> Iterator[frozenset[int]]:
    for count in range(1, len(rack) + 1):
        yield from map(frozenset, combinations(rack, count))


def _quickest(option: dict[int, Way], subset: frozenset[int]) -> Way:
    return min((option[n] for n in option if n in subset), key=lambda way: (way.frays, way.time_s, way.tool.number))
