"""What holds each piece once through cuts have parted it from the sheet, against the force of the cuts that follow.

The force is the mean along the tool's rim, from what the cut really takes (power over the rim's speed); a tooth's
peak is up to half as much again, and it presses outward as well: hence LEAST. A tab and a skin hold by their section,
vacuum by its pressure on the piece's underside and friction, a clamp or a screw on the piece for good.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from cncpanel.proof.compare import HELD_BY_VACUUM, lies_still
from cncpanel.proof.cuts import Cut, boxes
from cncpanel.proof.finding import Finding, finding_at_end
from cncpanel.proof.footprint import Footprints
from cncpanel.proof.load import CuttingLimits, Stretch, rpm_of
from cncpanel.proof.setup import Setup
from cncpanel.proof.severed import Severed, Severing
from cncpanel.proof.skin import Skinned
from cncpanel.proof.suction import sucked
from cncpanel.proof.target import Target

LEAST = (
    2.0  # times the mean force: a tooth's peak (pi / 2), its outward share, and a little: common practice, no source
)
WALL = 0.05  # mm; a cut that reaches no further into a free piece follows its finished wall
BESIDE = 0.02  # mm; a cut this near a piece presses on it
MOST = 10  # free pieces of which the moment is looked for; every loose one is told in any case
PANEL = CuttingLimits(specific_force=35.0)  # where no material is named: measured on particleboard, 32 to 37.6 N/mm2
JUST_BEFORE = 10.0  # mm; with so little left to part, a floor one pass deep holds no more than a tab does
SHARE = 0.5  # of a piece that must lie in a part for it to be that part


@dataclass(frozen=True, slots=True)
class Press:
    """The hardest press on a piece: N, and by which cut."""

    force: float
    cut: Cut


class Holding:
    """One sheet with its pieces and the forces of its cuts, in order."""

    def __init__(
        self,
        severing: Severing,
        cuts: Sequence[Cut],
        stretches: Sequence[Stretch],
        target: Target,
        setup: Setup,
        limits: CuttingLimits | None,
    ) -> None:
        """`stretches` of the same cuts; `target` in program coordinates, for names."""
        self._severing, self._cuts, self._target, self._setup = severing, cuts, target, setup
        self._limits = limits or PANEL
        self._boxes = boxes(cuts)
        self._forces = np.zeros(len(cuts))
        for stretch in stretches:
            tool = setup.tools[stretch.placed.move.tool]
            rpm = rpm_of(stretch.placed, setup.machine) or setup.machine.spindle.rpm_min
            force = stretch.force(tool, rpm, self._limits.specific_force)
            own = slice(stretch.begun, stretch.placed.before + 1)
            self._forces[own] = np.maximum(self._forces[own], force)

    def findings(self, pieces: Sequence[Severed], *, clamps_known: bool) -> Iterator[Finding]:
        """Pieces held too weakly, and cuts of pieces that nothing holds. `pieces` are those of the severing."""
        for piece in pieces:
            if piece.section:
                yield from self._held(piece)
        free = [piece for piece in pieces if not piece.section]
        for piece in sorted(free, key=lambda piece: -piece.shape.area)[:MOST]:
            yield from self._free(piece)
            if piece.at_rim and not self._sucked:
                yield from self._off_the_rim(piece.shape, clamps_known=clamps_known)

    def skin_findings(self, skins: Iterable[Skinned]) -> Iterator[Finding]:
        """Pieces that a skin holds too weakly before it is cut, or for good."""
        for piece in skins:
            press = self._press(piece.shape, self._shortly_before(piece.since), piece.until)
            hold = piece.section * self._limits.tab_strength + self._vacuum(piece.shape)
            if press is not None and hold < LEAST * press.force:
                by = f"{piece.section:.1f} mm2 of skin at worst, {piece.thinnest:.2f} mm thick as programmed, hold it"
                by = f"{by} at {self._limits.tab_strength:g} N/mm2"
                yield self._weak(piece.shape, press, hold, f"{by}, with the vacuum," if self._sucked else by)

    # -- held by tabs --------------------------------------------------------------------------------------

    def _held(self, piece: Severed) -> Iterator[Finding]:
        since = self._severing.since(piece.shape)
        press = self._press(piece.shape, self._shortly_before(since)) if since else None
        if press is None:
            return
        strength = self._limits.tab_strength
        hold = piece.section * strength + self._vacuum(piece.shape)
        if hold >= LEAST * press.force:
            return
        tabs = f"{len(piece.own)} tab{'' if len(piece.own) == 1 else 's'}"
        by = f"{tabs}, {piece.section:.1f} mm2 at worst at {strength:g} N/mm2, hold it"
        if self._sucked:
            by = f"{by} and the vacuum"
        yield self._weak(piece.shape, press, hold, by.replace("hold it and the vacuum", "and the vacuum hold it"))

    def _weak(self, shape: shapely.Polygon, press: Press, hold: float, by: str) -> Finding:
        factor = hold / press.force
        text = (
            f"{self._named(shape)}: T{press.cut.tool.number} pushes with {press.force:.0f} N while {by} with "
            f"{hold:.0f} N, {factor:.1f} times as much ({LEAST:g} are asked)"
        )
        return _finding("weak-hold", press.cut, text, factor, LEAST)

    # -- held by nothing, or by vacuum ---------------------------------------------------------------------

    def _free(self, piece: Severed) -> Iterator[Finding]:
        since = self._severing.since(piece.shape, bars_too=False)
        if since is None:
            return
        hold = self._vacuum(piece.shape)
        press = self._press(piece.shape, self._shortly_before(since))
        later = self._met(piece.shape, since)
        if later is not None:
            yield self._cut_after(piece.shape, self._cuts[since - 1], later, hold, press.force if press else 0.0)
        elif press is not None and self._sucked and hold < LEAST * press.force:
            yield self._weak(piece.shape, press, hold, "the vacuum alone holds it")

    def _off_the_rim(self, shape: shapely.Polygon, *, clamps_known: bool) -> Iterator[Finding]:
        """A strip at the sheet's edge; the one who compares tells of all other loose pieces."""
        since = self._severing.since(shape, bars_too=False)
        if since is None:
            return
        by = "no clamp or screw stands on it" if clamps_known else "only a clamp or a screw on it would hold it"
        text = f"{self._named(shape)} comes free at the sheet's edge: {by}"
        finding = _finding("loose", self._cuts[since - 1], text, shape.area, 0.0)
        yield finding if clamps_known else replace(finding, severity="remark")

    def _cut_after(self, shape: shapely.Polygon, by: Cut, later: Cut, hold: float, force: float) -> Finding:
        held = self._sucked and lies_still(shape) and hold >= LEAST * force
        what = f"the vacuum alone holds it, with {hold:.0f} N" if self._sucked else "nothing holds it"
        text = f"cuts {self._named(shape)}, which line {by.move.line} has set free: {what} against {force:.0f} N"
        limit = HELD_BY_VACUUM if self._sucked else 0.0
        finding = _finding("cut-after-free", later, text, shape.area, limit)
        return replace(finding, severity="remark") if held else finding

    def _met(self, shape: shapely.Polygon, since: int) -> Cut | None:
        """The first later cut that takes more than a wall's breadth from the piece."""
        inside = shapely.buffer(shape, -WALL)
        touching = self._touching(inside, since) if not inside.is_empty else iter(())
        return next((self._cuts[number] for number in touching), None)

    # -- what presses --------------------------------------------------------------------------------------

    @property
    def _sucked(self) -> bool:
        return self._setup.machine.table.hold == "vacuum"

    def _vacuum(self, shape: shapely.Polygon) -> float:
        """N along the table."""
        return sucked(shape, self._setup)

    def _press(self, shape: shapely.Polygon, since: int, until: int | None = None) -> Press | None:
        """The strongest cut on the piece from that number on, before number `until`."""
        near = self._touching(shapely.buffer(shape, BESIDE), max(since, 0))
        touching = [number for number in near if until is None or number < until]
        worst = max(touching, key=lambda number: self._forces[number], default=None)
        if worst is None or not self._forces[worst] > 0:
            return None
        return Press(float(self._forces[worst]), self._cuts[worst])

    def _shortly_before(self, since: int) -> int:
        """The cut that was JUST_BEFORE mm of way before the one that parted a piece: what pressed on it then."""
        number, way = since - 1, 0.0
        while number > 0 and way < JUST_BEFORE and self._cuts[number - 1].move.end == self._cuts[number].move.start:
            number -= 1
            way += self._cuts[number].move.length
        return number

    def _touching(self, shape: shapely.Geometry, since: int) -> Iterator[int]:
        """Cuts from that number on that meet the shape."""
        left, low, right, high = shape.bounds
        box = self._boxes[since:]
        near = (box[:, 0] < right) & (box[:, 1] < high) & (box[:, 2] > left) & (box[:, 3] > low)
        shapely.prepare(shape)
        footprints = Footprints()
        for number in (np.flatnonzero(near) + since).tolist():
            if any(shape.intersects(one) for one in footprints.from_above([self._cuts[number]]).shapes):
                yield number

    def _named(self, shape: shapely.Polygon) -> str:
        at = shape.representative_point()
        size = f"{shape.area:.0f} mm2 at X{at.x:.0f} Y{at.y:.0f}"
        for piece in self._target.pieces:
            if shapely.intersection(piece.shape, shape).area > SHARE * shape.area:
                return f"{piece.name} ({size})"
        for floor in self._target.floors:
            if floor.kind == "through" and floor.shape.contains(at):
                return f"the waste of {floor.name} ({size})"
        return f"a piece of scrap ({size})"


def _finding(kind: str, cut: Cut, text: str, measure: float, limit: float) -> Finding:
    measure = round(measure, 2)
    return finding_at_end(cut.move, kind, text, program=cut.program, severity="safety", measure=measure, limit=limit)
