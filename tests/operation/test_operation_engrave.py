"""A mark reads right on the sheet whichever way its part lies there."""

import pytest

from cncpanel.geometry.contour import Path, Vertex
from cncpanel.geometry.placement import Placement
from cncpanel.job.model import Face
from cncpanel.machine.read import read_machine
from cncpanel.operation.operation import Engrave
from cncpanel.panel.lettering import text_strokes

TOOL = next(tool for tool in read_machine("shop-router").tool if tool.kind == "v-bit")


def right_end(paths: tuple[Path, ...]) -> list[tuple[float, float]]:
    """Every corner measured from the lower left of the text's own box."""
    vertices = [v for path in paths for v in path.vertices]
    left, low = min(v.x for v in vertices), min(v.y for v in vertices)
    return sorted((round(v.x - left, 6), round(v.y - low, 6)) for v in vertices)


@pytest.mark.parametrize("face", ["show", "back"])
@pytest.mark.parametrize("mirrored_copy", [False, True])
def test_the_text_reads_right_seen_from_above(face: Face, mirrored_copy: bool) -> None:
    back = face == "back"
    operation = Engrave(
        panel="side",
        feature="mark",
        face=face,
        strokes=text_strokes("LR7", 10, back),
        mirrored_strokes=text_strokes("LR7", 10, not back),
        depth=0.5,
        tool=TOOL,
    )
    placed = operation.placed(Placement(x=300, y=40, mirrored=back != mirrored_copy))
    assert right_end(placed.strokes) == right_end(text_strokes("LR7", 10, False))


def test_the_letters_of_the_test_are_not_symmetric() -> None:
    mirrored = tuple(Path(tuple(Vertex(-v.x, v.y) for v in p.vertices)) for p in text_strokes("LR7", 10, False))
    assert right_end(mirrored) != right_end(text_strokes("LR7", 10, False))
