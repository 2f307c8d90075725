"""Which primitive each edge of a kernel's polygon lies on: by distance, where the primitive was used."""

import numpy as np
import numpy.typing as npt

from cncpanel.geometry.carrier import Carriers, Floats
from cncpanel.geometry.tolerance import FLATTEN, PATH

ON_LINE = 3e-5  # mm; what whole numbers in the kernel move a line's ends, three times over
ON_CIRCLE = 2.5 * FLATTEN  # mm; chords lie inside by one FLATTEN, their ends after an offset by a second
OVERRUN = 1e-3  # mm; how far the middle of an edge may lie past its primitive's end: rounding of short edges
DENSE = 100_000  # entries of the table edges x primitives that are worked out in one go
BLOCK = 48  # edges looked at together where that table would be larger

Labels = npt.NDArray[np.int64]
Marks = npt.NDArray[np.bool_]


def labels_of(start: Floats, end: Floats, carriers: Carriers) -> Labels:
    """For each edge its primitive: a line's row, a circle's row after the lines, or -1."""
    if len(start) * (len(carriers.lines) + len(carriers.circles)) <= DENSE:
        every_line, every_circle = np.arange(len(carriers.lines)), np.arange(len(carriers.circles))
        return _labelled(start, end, carriers, every_line, every_circle)
    line_boxes, circle_boxes = _line_boxes(carriers.lines), _circle_boxes(carriers.circles)
    labels = np.empty(len(start), dtype=np.int64)
    for i in range(0, len(start), BLOCK):
        block = slice(i, i + BLOCK)
        low = np.minimum(start[block], end[block]).min(axis=0) - PATH
        high = np.maximum(start[block], end[block]).max(axis=0) + PATH
        lines = np.flatnonzero(_overlapping(line_boxes, low, high))
        circles = np.flatnonzero(_overlapping(circle_boxes, low, high))
        labels[block] = _labelled(start[block], end[block], carriers, lines, circles)
    return labels


def _line_boxes(lines: Floats) -> Floats:
    nx, ny, offset, first, last = lines.T
    x, y = nx * offset, ny * offset
    x1, x2, y1, y2 = x - ny * first, x - ny * last, y + nx * first, y + nx * last
    return np.column_stack((np.minimum(x1, x2), np.minimum(y1, y2), np.maximum(x1, x2), np.maximum(y1, y2)))


def _circle_boxes(circles: Floats) -> Floats:
    x, y, radius = circles[:, 0], circles[:, 1], circles[:, 2]
    return np.column_stack((x - radius, y - radius, x + radius, y + radius))


def _overlapping(boxes: Floats, low: Floats, high: Floats) -> Marks:
    return np.asarray((boxes[:, :2] <= high).all(axis=1) & (boxes[:, 2:] >= low).all(axis=1))


def _labelled(start: Floats, end: Floats, carriers: Carriers, lines: Labels, circles: Labels) -> Labels:
    labels = np.full(len(start), -1, dtype=np.int64)
    if len(lines):
        best, found = _on_lines(start, end, carriers.lines[lines])
        labels[found] = lines[best[found]]
    rest = np.flatnonzero(labels < 0)
    if len(circles) and len(rest):
        best, found = _on_circles(start[rest], end[rest], carriers.circles[circles])
        labels[rest[found]] = circles[best[found]] + len(carriers.lines)
    return labels


def _on_lines(start: Floats, end: Floats, lines: Floats) -> tuple[Labels, Marks]:
    normal = lines[:, :2].T
    along = np.vstack((-lines[:, 1], lines[:, 0]))
    error = np.maximum(np.abs(start @ normal - lines[:, 2]), np.abs(end @ normal - lines[:, 2]))
    middle = (start + end) @ along / 2
    error[(middle < lines[:, 3] - OVERRUN) | (middle > lines[:, 4] + OVERRUN)] = np.inf
    best = error.argmin(axis=1)
    return best, error[np.arange(len(best)), best] <= ON_LINE


def _on_circles(start: Floats, end: Floats, circles: Floats) -> tuple[Labels, Marks]:
    centre, radius = circles[:, :2].T, circles[:, 2]
    constant = (centre * centre).sum(axis=0) - radius * radius
    error = np.abs(_power(start, centre, constant))
    middle = (start + end) / 2
    for points in (end, middle):
        np.maximum(error, np.abs(_power(points, centre, constant)), out=error)
    error /= 2 * radius
    reach = middle @ circles[:, 4:6].T - (centre * circles[:, 4:6].T).sum(axis=0)
    error[reach < radius * circles[:, 6] - OVERRUN - FLATTEN] = np.inf
    best = error.argmin(axis=1)
    return best, error[np.arange(len(best)), best] <= ON_CIRCLE


def _power(points: Floats, centre: Floats, constant: Floats) -> Floats:
    """The power of each point to each circle: twice the radius times the distance, near the circle."""
    squared = (points * points).sum(axis=1)
    return np.asarray(squared[:, None] - points @ (2 * centre) + constant)


def turns_of(start: Floats, end: Floats, labels: Labels, carriers: Carriers) -> Floats:
    """The angle by which each edge turns about its circle's centre; 0 for all others."""
    turns = np.zeros(len(start))
    curved = np.flatnonzero(labels >= len(carriers.lines))
    centres = carriers.circles[labels[curved] - len(carriers.lines), :2]
    (ax, ay), (bx, by) = (start[curved] - centres).T, (end[curved] - centres).T
    turns[curved] = np.arctan2(ax * by - ay * bx, ax * bx + ay * by)
    return turns
