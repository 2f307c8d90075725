"""What tools, layout and paths say of an inch job, in inches: they reckon and speak in millimetres."""

import re
from collections.abc import Iterable, Iterator

from cncpanel.machine.model import Machine
from cncpanel.panel.panel import Panel
from cncpanel.units import shown

_NUMBER = r"-?\d+(?:\.\d+)?"
_LENGTHS = rf"(?<![\w.-])(?P<sizes>{_NUMBER}(?: x {_NUMBER})?) mm(?![\w/])"
_PLACE = rf"\((?P<x>{_NUMBER}), (?P<y>{_NUMBER})\)"


class InchWords:
    """A text with its lengths in mm, and its places, which are bare pairs in mm, told in inches; names stay."""

    def __init__(self, panels: Iterable[Panel], machine: Machine) -> None:
        """Names of panels, features, stocks and tools may have lengths of their own in them."""
        names = {*_names(panels), *(tool.name for tool in machine.tool)}
        kept = (re.escape(name) for name in sorted(names, key=len, reverse=True) if re.search(r"\d", name))
        self._known = re.compile("|".join((*kept, _LENGTHS, _PLACE)))

    def __call__(self, text: str) -> str:
        """`298 x 184 mm at (355, 721)` as `11.7323 x 7.2441 in at (13.9764 in, 28.3858 in)`."""
        return self._known.sub(_told, text)


def _names(panels: Iterable[Panel]) -> Iterator[str]:
    for panel in panels:
        yield from (panel.name, panel.stock.name)
        for kind in (panel.marks, panel.recesses, panel.holes, panel.openings, panel.edges, panel.slots):
            yield from (feature.name for feature in kind)


def _told(match: re.Match[str]) -> str:
    if match["sizes"]:
        sizes = [shown(float(size), "inch").removesuffix(" in") for size in match["sizes"].split(" x ")]
        return f"{' x '.join(sizes)} in"
    if match["x"]:
        return f"({shown(float(match['x']), 'inch')}, {shown(float(match['y']), 'inch')})"
    return match[0]
