"""What each sheet of a job leaves for the rack, named as on its labels."""

from collections.abc import Sequence

from cncpanel.job.read import ReadJob
from cncpanel.layout.layout import Layout
from cncpanel.layout.leftover import Left, Leftover, leftovers
from cncpanel.machine.model import Machine
from cncpanel.make.arrange import slugs
from cncpanel.make.rack import Rack
from cncpanel.make.sheet_id import piece_name, sheet_id
from cncpanel.operation.operation import PanelPlan
from cncpanel.store.offcut import LEAST


def left_of(layout: Layout, read: ReadJob, machine: Machine, plans: Sequence[PanelPlan], rack: Rack | None) -> Left:
    """By sheet number, the pieces worth keeping."""
    asked = read.job.settings.offcuts.least
    least = asked or (rack.store.least if rack else LEAST)
    panels = {plan.panel.index: plan.panel for plan in plans}
    found = {}
    for sheet in layout.sheets:
        identity = sheet_id(read, machine, sheet)
        boxes = leftovers(sheet, panels, layout.gap, least, slugs(plans))
        found[sheet.number] = tuple(Leftover(name=piece_name(identity, n), box=box) for n, box in enumerate(boxes, 1))
    return found
