"""What the passes ask of machine, stock and job: depths, feeds, direction, tab sizes."""

from dataclasses import dataclass, field
from math import radians, tan
from typing import Literal

from cncpanel.job.model import Settings, Stock
from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool
from cncpanel.passes.run import CutUsed
from cncpanel.tooling.cut import Kind
from cncpanel.tooling.drilling import bore_pitch
from cncpanel.tooling.feeds import CuttingData, cutting_data
from cncpanel.tooling.materials import MATERIALS, Material
from cncpanel.tooling.step_down import compression_suits, step_downs

Direction = Literal["climb", "conventional"]

APPROACH = 2.0  # mm over the sheet's top where rapids end: common practice
SKIN_SPARE = 0.4  # mm that a skin is thicker than it may turn out thinner: 0.8 in all on an even table, as printed
LEAST_FLOOR = 0.05  # mm; a floor pass of less rubs
ENGAGEMENT = 0.6  # of the tool's diameter, 102 degrees: the widest cut while clearing; common practice, no source
STEP_OVER = 0.45  # of the tool's diameter between clearing rounds: under a half, so that nothing is missed


def least_skin(machine: Machine) -> float:
    """What a skin may turn out thinner than programmed, mm: zero, table and thickness as far out as they may be."""
    table = machine.table
    return table.z_error + table.flatness + table.thickness_spread


def directions(machine: Machine, settings: Settings) -> tuple[Direction, Direction]:
    """Of roughing and of the last pass along walls and edges: the job's settings, else the machine's habits."""
    habit = machine.cutting
    return settings.direction or habit.direction, settings.finish_direction or habit.finish_direction


@dataclass(frozen=True, slots=True)
class Shop:
    """One machine with one stock on its table, under one job's settings.

    `undercut` mm were cut from below along walls before the sheet was turned over: tabs stand over that.
    """

    machine: Machine
    stock: Stock
    settings: Settings
    undercut: float = 0.0
    _data: dict[tuple[Tool, Kind, float, float, float | None], CuttingData] = field(default_factory=dict, repr=False)
    _used: dict[tuple[Tool, Kind, float, float, float, float], CutUsed] = field(default_factory=dict, repr=False)
    _steps: dict[tuple[Tool, Kind, float, float | None], tuple[float, ...]] = field(default_factory=dict, repr=False)

    @property
    def bottom(self) -> float:
        """Z of a through cut: the thickest reading and the cut-through below the sheet's top, negative."""
        return -(self.stock.thickest + self.machine.table.cut_through)

    @property
    def skin(self) -> float | None:
        """Thickness at the thinnest reading of the floor that is left under outlines until the end; None: none is."""
        if self.settings.hold != "skin":
            return None
        return self.settings.skin or least_skin(self.machine) + SKIN_SPARE

    @property
    def outline_depth(self) -> float:
        """How deep the passes round a part go, mm: through, or to the skin."""
        return -self.bottom if self.skin is None else self.stock.thinnest - self.skin

    def depth(self, depth: float | None) -> float:
        """How deep a feature goes, mm; None is right through."""
        return -self.bottom if depth is None else depth

    @property
    def direction(self) -> Direction:
        """Which way roughing goes along walls and edges."""
        return directions(self.machine, self.settings)[0]

    @property
    def finish_direction(self) -> Direction:
        """Which way their last pass goes."""
        return directions(self.machine, self.settings)[1]

    @property
    def wall_allowance(self) -> float:
        """What roughing leaves on walls for the finish pass, mm: the job's setting, else the machine's habit."""
        asked = self.settings.wall_allowance
        return self.machine.cutting.finish_allowance if asked is None else asked

    def clearing_depths(self, tool: Tool, depth: float | None) -> tuple[float, ...]:
        """Cumulative depths, mm, of clearing; the last takes what the job has roughing leave on the floor.

        None is left where nothing stays below, where roughing would go no deeper than what it leaves, or where a
        compression tool's up-cut part would fray the face.
        """
        total, left = self.depth(depth), self.settings.floor_allowance
        rough = total - left
        if depth is None or left < LEAST_FLOOR or rough < left or not compression_suits(tool, rough):
            return self.step_depths(tool, "slot", total)
        return (*self.step_depths(tool, "slot", rough), total)

    @property
    def ramp_deg(self) -> float:
        """The steepest way into material, degrees."""
        return self.machine.cutting.ramp_deg

    @property
    def tab_width(self) -> float:
        """Along the wall, mm."""
        return self.settings.tab_width or self.machine.cutting.tab_width

    @property
    def tab_height(self) -> float:
        """Of a tab's own wood, over the sheet's underside or what was cut from below, where it is thinnest, mm."""
        return self.settings.tab_height or self.machine.cutting.tab_height

    @property
    def tab_flank(self) -> float:
        """How far along the wall a sloped tab's flank reaches, from its top to where the tools go, mm; 0: upright."""
        if self.settings.tab_shape == "flat":
            return 0.0
        return (self.tab_top - self.bottom) / tan(radians(self.ramp_deg))

    @property
    def tab_top(self) -> float:
        """Z of the tabs' tops, negative."""
        return self.tab_height + self.undercut - self.stock.thinnest

    def data(self, tool: Tool, kind: Kind, depth: float, width: float, rpm: float | None = None) -> CuttingData:
        """Feeds and speed of one cut; `depth` of a step, `width` radial (a bore's diameter); `rpm` None: the best."""
        key = (tool, kind, round(depth, 6), round(width, 6), rpm)
        if key not in self._data:
            self._data[key] = cutting_data(
                tool, self._material, self.machine, depth=key[2], width=key[3], kind=kind, rpm=rpm
            )
        return self._data[key]

    def offer(
        self, tool: Tool, kind: Kind, depth: float, width: float, rpm: float | None = None, share: float = 1.0
    ) -> CutUsed:
        """A cut as it would be made; `share` of the feed is used."""
        data = self.data(tool, kind, depth, width, rpm)
        data = data.slowed(share) if share < 1.0 else data
        return CutUsed(tool=tool, kind=kind, depth=round(depth, 6), width=round(width, 6), data=data, share=share)

    def note(self, *made: CutUsed) -> None:
        """Remember cuts that are made, for the feeds sheet."""
        for one in made:
            self._used[one.tool, one.kind, one.depth, one.width, one.data.rpm, one.share] = one

    def cut(self, tool: Tool, kind: Kind, depth: float, width: float, rpm: float | None = None) -> CuttingData:
        """The data of a cut that is made: it is remembered."""
        made = self.offer(tool, kind, depth, width, rpm)
        self.note(made)
        return made.data

    @property
    def cuts(self) -> tuple[CutUsed, ...]:
        """Every kind of cut that is made, as they were noted."""
        return tuple(self._used.values())

    def step_depths(self, tool: Tool, kind: Kind, total: float, width: float | None = None) -> tuple[float, ...]:
        """Cumulative depths, mm, of the passes down to `total`."""
        key = (tool, kind, total, width)
        if key not in self._steps:
            self._steps[key] = step_downs(total, tool, self._material, self.machine, kind, width)
        return self._steps[key]

    @property
    def _material(self) -> Material:
        return MATERIALS[self.stock.material]

    def bore_pitch(self, tool: Tool, diameter: float) -> float:
        """mm down a turn of a helix in a hole of that diameter."""
        return bore_pitch(tool, self._material, self.machine, diameter)
