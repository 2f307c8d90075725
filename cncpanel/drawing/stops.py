"""Where a sheet's programs wait for a person, and what they ask of them, in the programs' own words."""

from collections.abc import Iterable

from cncpanel.drawing.paper import Bullets, Heading, Piece, Sentence, Table
from cncpanel.sequence.program import Program, Stop, ToolChange

Rows = tuple[tuple[str, ...], ...]


def stop_pieces(programs: Iterable[Program]) -> list[Piece]:
    """A table of the stops; a sentence where a program has none, and what the changer does by itself."""
    listed = list(programs)
    rows = tuple(row for program in listed for row in _rows(program))
    changes = sum(isinstance(block, ToolChange) for program in listed for block in program.blocks)
    pieces: list[Piece] = [Heading("Where the programs wait for you")]
    if rows:
        pieces.append(Table(head=("File", "Stop", "Do this, then start again"), rows=rows, shares=(40, 8, 92)))
    else:
        pieces.append(Sentence("Nowhere: the programs run from start to end. Stay at the machine all the same."))
    if changes:
        pieces.append(Bullets((f"The changer fits tools {changes} times by itself: check the pockets first.",)))
    return pieces


def _rows(program: Program) -> Rows:
    stops = [block for block in program.blocks if isinstance(block, Stop)]
    return tuple((f"{program.name}.nc", str(n), ". ".join(stop.lines)) for n, stop in enumerate(stops, start=1))
