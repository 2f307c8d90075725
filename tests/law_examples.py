"""How many examples a law tries: as many as the quick suite has time for, or that many times over in the long run."""

import os

TIMES = int(os.environ.get("CNCPANEL_LAWS", "1"))


def examples(quick: int) -> int:
    """`quick` examples in the quick suite; `.ci/laws` sets CNCPANEL_LAWS to multiply them."""
    return quick * TIMES
