"""The offcuts that a set is cut from are kept for it from its layout on, and given back where it comes to nothing."""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager

from cncpanel.job.read import ReadJob
from cncpanel.layout.layout import Sheet
from cncpanel.layout.saw.plan import SawSheet
from cncpanel.make.rack import Rack, give_back, keep, settle
from cncpanel.store.offcut import Claim

Drawn = Sequence[Sheet] | Sequence[SawSheet]


def kept_pieces(rack: Rack | None, read: ReadJob, identities: Mapping[int, str], sheets: Drawn) -> bool:
    """Keep the offcuts among the sheets; False where another run was quicker. Without a folder nothing is kept.

    `identities` of the sheets, by number.
    """
    if rack is None or not rack.folder:
        return True
    wanted = {
        sheet.piece: Claim(
            job=read.job.job.name, sheet=sheet.number, sheet_id=identities[sheet.number], folder=rack.folder
        )
        for sheet in sheets
        if sheet.piece
    }
    return keep(rack, wanted)


@contextmanager
def given_back_on_failure(rack: Rack | None, sheets: Drawn) -> Iterator[None]:
    """Whatever ends what is done within but its own end: the pieces go back."""
    try:
        yield
    except BaseException:
        if rack is not None and rack.folder:
            give_back(rack, pieces(sheets))
        raise


def settled(rack: Rack | None, sheets: Drawn, *, passed: bool) -> None:
    """The set lies in its folder: what an earlier set there was kept, and what a failed one was, is free."""
    if rack is not None and rack.folder:
        settle(rack, pieces(sheets) if passed else [])


def pieces(sheets: Drawn) -> list[str]:
    """The offcuts' names among the sheets."""
    return [sheet.piece for sheet in sheets if sheet.piece]
