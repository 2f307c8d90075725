"""How fast moves follow one another: even acceleration, corners as fast as a small deviation allows, all ahead seen.

Speeds mm/s, accelerations mm/s2, lengths mm. The two passes that make every corner's speed reachable, one from the
end and one from the start, are min-plus sums, so that a running minimum does each at once:
v[i]^2 = min over j >= i of (cap[j]^2 + 2 a L summed from i to j), and the same the other way.
"""

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
STRAIGHT = 1e-9  # of 1; a corner flatter than this limits nothing


def corner_speeds(ends: Floats, begins: Floats, acceleration: Floats, deviation: float) -> Floats:
    """The fastest way round each corner on a circle that touches both moves and passes it within `deviation`.

    `ends` and `begins` are unit directions, a row a corner (x, y, z). v^2 = a d s / (1 - s), where s is the sine of
    half the angle between the moves (geometry of Kunz and Stilman, RSS VIII 2012). No limit where they go straight
    on, 0 where they turn back.
    """
    cosine = -np.einsum("ij,ij->i", ends, begins)
    half_sine = np.sqrt(np.clip((1 - cosine) / 2, 0.0, 1.0))
    flat = half_sine > 1 - STRAIGHT
    left = np.where(flat, 1.0, 1 - half_sine)
    speeds: Floats = np.where(flat, np.inf, np.sqrt(acceleration * deviation * half_sine / left))
    return speeds


def joint_speeds(caps: Floats, lengths: Floats, accelerations: Floats) -> Floats:
    """The speed at each joint, the first and the last included: as fast as its cap, and reachable both ways.

    `caps` has one more than the moves; a stop's is 0.
    """
    gain = np.zeros(len(caps))
    np.multiply(accelerations, lengths, out=gain[1:])
    gain *= 2
    np.cumsum(gain, out=gain)
    speeds: Floats = caps * caps
    speeds += gain
    np.minimum.accumulate(speeds[::-1], out=speeds[::-1])
    speeds -= gain
    speeds -= gain
    np.minimum.accumulate(speeds, out=speeds)
    speeds += gain
    np.maximum(speeds, 0.0, out=speeds)
    np.sqrt(speeds, out=speeds)
    return np.minimum(speeds, caps, out=speeds)  # what the sums may have rounded up


def move_times(lengths: Floats, speeds: Floats, accelerations: Floats, entry: Floats, leave: Floats) -> Floats:
    """Seconds of each move that enters and leaves at these speeds and may reach `speeds` between (textbook)."""
    peak = np.sqrt(accelerations * lengths + (entry * entry + leave * leave) / 2)
    top = np.maximum(np.minimum(peak, speeds), np.maximum(entry, leave))
    ramps = (2 * top * top - entry * entry - leave * leave) / (2 * accelerations)
    cruise = np.maximum(lengths - ramps, 0.0) / np.where(top > 0, top, 1.0)
    return (2 * top - entry - leave) / accelerations + cruise
