"""Letters as paths."""

from cncpanel.geometry.contour import Path, Vertex
from cncpanel.job.letters import STROKES


def letter(character: str) -> tuple[Path, ...]:
    """The strokes of A-Z, a-z (as capitals), 0-9, - _ . and space in grid units; KeyError for any other."""
    return tuple(Path(tuple(Vertex(*corner) for corner in stroke)) for stroke in STROKES[character.upper()])
