"""The offcuts that a set is cut from are kept for it from its layout on, and given back where it comes to nothing."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from cncpanel.job.read import ReadJob
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine
from cncpanel.make.rack import Rack, give_back, keep, settle
from cncpanel.make.sheet_id import sheet_id
from cncpanel.store.offcut import Claim


def kept_pieces(rack: Rack | None, read: ReadJob, machine: Machine, sheets: Sequence[Sheet]) -> bool:
    """Keep the offcuts among the sheets; False where another run was quicker. Without a folder nothing is kept."""
    if rack is None or not rack.folder:
        return True
    wanted = {
        sheet.piece: Claim(
            job=read.job.job.name, sheet=sheet.number, sheet_id=sheet_id(read, machine, sheet), folder=rack.folder
        )
        for sheet in sheets
        if sheet.piece
    }
    return keep(rack, wanted)


@contextmanager
def given_back_on_failure(rack: Rack | None, sheets: Sequence[Sheet]) -> Iterator[None]:
    """Whatever ends what is done within but its own end: the pieces go back."""
    try:
        yield
    except BaseException:
        if rack is not None and rack.folder:
            give_back(rack, pieces(sheets))
        raise


def settled(rack: Rack | None, sheets: Sequence[Sheet], *, passed: bool) -> None:
    """The set lies in its folder: what an earlier set there was kept, and what a failed one was, is free."""
    if rack is not None and rack.folder:
        settle(rack, pieces(sheets) if passed else [])


def pieces(sheets: Sequence[Sheet]) -> list[str]:
    """The offcuts' names among the sheets."""
    return [sheet.piece for sheet in sheets if sheet.piece]
