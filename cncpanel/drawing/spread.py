"""Texts along a line that must keep their distance: each as near to its own place as the others let it."""

from collections.abc import Sequence


def spread(wanted: Sequence[float], apart: float, low: float, high: float) -> list[float] | None:
    """Places in [low, high], in the order of `wanted` (ascending), at least `apart` from each other.

    The sum of squared moves is the least (isotonic regression by pooling neighbours, clamped to the ends). None where
    there is no room.
    """
    room = high - low - (len(wanted) - 1) * apart
    if room < 0:
        return None
    pools: list[tuple[float, int]] = []  # mean of the places with their order's distance taken off, how many
    for index, place in enumerate(wanted):
        mean, count = place - index * apart, 1
        while pools and pools[-1][0] > mean:
            before, members = pools.pop()
            mean = (before * members + mean * count) / (members + count)
            count += members
        pools.append((mean, count))
    flat = [min(max(mean, low), low + room) for mean, count in pools for _ in range(count)]
    return [place + index * apart for index, place in enumerate(flat)]
