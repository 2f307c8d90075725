"""How high the tool lifts between two cuts: low where nothing can stand in its way, else over clamps and screws.

Low is the sheet's top, its bow and 3 mm. From the moment a part may be free every way is a high one. Where the job
names its clamps and screws the way keeps off them; where it names none and the table has some, they stand "outside
every cut", so a way is low where its cuts leave no room for a screw's head.
"""

from collections.abc import Sequence
from math import inf

from cncpanel.geometry.area import Area
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Bounds, Segment
from cncpanel.job.model import KeepOut
from cncpanel.machine.tool import Tool
from cncpanel.passes.run import Run
from cncpanel.sequence.frame import (
    CLEARANCE,
    end_of,
    grown,
    hop_over,
    programmed_keep_outs,
    segments_of,
)
from cncpanel.sequence.setting import Setting

STANDS = ("clamp", "screw")
SCREW_HEAD = 7.0  # mm; the narrowest, of a 3.5 mm screw: twice its shank is common practice, no source
LEAST_WAY = 1e-6  # mm
SLACK = 0.02  # mm by which a way may seem to leave what is cut: chords decide no finer


class Heights:
    """The heights between the runs of one sheet, asked in the order of cutting."""

    def __init__(self, setting: Setting, runs: Sequence[Run], screws: Sequence[KeepOut] = ()) -> None:
        """`runs`: all of the sheet, in program coordinates; `screws`: driven at a stop, in the sheet's frame."""
        self._setting = setting
        self._low = min(setting.top + hop_over(setting.machine), setting.clearance)
        self._standing = tuple(_standing(setting, screws))
        named = bool(screws) or any(keep.kind in STANDS for keep in setting.sheet.stock.keep_out)
        self._unseen = not named and setting.machine.table.clamp_height > 0
        self._features: dict[tuple[str, str], list[Run]] = {}
        for run in runs:
            self._features.setdefault((run.part, run.feature), []).append(run)
        self._cut: dict[tuple[str, str], Area] = {}
        self._free = False

    def after(self, run: Run, following: Run | None) -> float:
        """Program Z on the way from the run to the one that follows it without a stop; None: full height."""
        self._free |= run.frees
        if following is None or self._free or following.rpm != run.rpm:
            return self._setting.clearance
        here, there = end_of(run), following.start
        if self._meets(here, there, run.tool) or (self._unseen and not self._among_cuts(here, there, run, following)):
            return self._setting.clearance
        return self._low

    def _meets(self, here: Point, there: Point, tool: Tool) -> bool:
        """Whether a clamp, a screw or a dowel stands in the way, or as near to it as the clearance over it."""
        over = self._low - self._setting.top
        for box, height in self._standing:
            widest = max(tool.cut_diameter, tool.shank_diameter)
            if height + CLEARANCE > over + tool.stick_out:
                widest = max(widest, tool.nut_diameter)
            if self._way(here, there, widest / 2 + CLEARANCE).overlap(Area.box(box)) > 0:
                return True
        return False

    def _among_cuts(self, here: Point, there: Point, run: Run, following: Run) -> bool:
        key = (run.part, run.feature)
        if key != (following.part, following.feature):
            return False
        if key not in self._cut:
            ways = {segment: one.tool.radius for one in self._features[key] for segment in segments_of(one)}
            radius = min(ways.values(), default=0.0)
            self._cut[key] = Area.swept([[segment] for segment in ways], radius + SCREW_HEAD / 2)
        return self._way(here, there, run.tool.radius + SCREW_HEAD / 2 - SLACK).minus(self._cut[key]).is_empty

    def _way(self, here: Point, there: Point, radius: float) -> Area:
        """What a tool of that radius goes over; of a dog-legged rapid all that it could."""
        box = (min(here.x, there.x), min(here.y, there.y), max(here.x, there.x), max(here.y, there.y))
        if here.distance(there) < LEAST_WAY or self._setting.machine.motion.rapid_path == "dog-leg":
            return Area.box(grown(box, radius))
        return Area.swept([[Segment(here, there)]], radius)


def _standing(setting: Setting, screws: Sequence[KeepOut]) -> list[tuple[Bounds, float]]:
    """Boxes of what stands on the sheet, with its height over the sheet's top, infinite where it is not known."""
    keep_outs, table = (*screws, *setting.sheet.stock.keep_out), setting.machine.table
    heights = [(keep.height or table.clamp_height or inf) if keep.kind in STANDS else 0.0 for keep in keep_outs]
    boxes = programmed_keep_outs(setting.sheet, setting.machine, screws)
    heights += [inf] * (len(boxes) - len(heights))
    return [(box, height) for box, height in zip(boxes, heights, strict=True) if height > 0]
