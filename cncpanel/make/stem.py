"""How a panel's files are called."""

from cncpanel.panel.panel import Panel
from cncpanel.sequence.wording import file_stem


def panel_stem(panel: Panel, *, mirrored_copy: bool = False) -> str:
    """`panel03-control-deck`: the number keeps names that read alike apart."""
    return f"panel{panel.index + 1:02d}-{file_stem(panel.name)}{'-mirrored' if mirrored_copy else ''}"
