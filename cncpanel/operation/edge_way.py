"""How a tool of the rack makes an edge: a round-over of its radius, a v-bit of its angle, or a ball in steps."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from cncpanel.geometry.region import Region, region_of
from cncpanel.machine.tool import Tool
from cncpanel.operation.edge_layer import (
    OVER_FACE,
    Layer,
    blunt,
    form_layers,
    half_angle,
    profile_radius,
    radius_over_tip,
    stair_layers,
)
from cncpanel.operation.edge_section import sections
from cncpanel.operation.operation import Clear, EdgeCut, Operation, Profile
from cncpanel.operation.rack import Bench
from cncpanel.operation.reach import inside, outside
from cncpanel.operation.way import Refusal, Way, refused
from cncpanel.panel.edge import Bevel, Edge, EdgeForm, Round
from cncpanel.panel.panel import Panel
from cncpanel.tooling.feeds import cutting_data
from cncpanel.tooling.materials import MATERIALS

SAME_RADIUS = 0.01  # mm; half of what the finished edge may be out
SAME_ANGLE = 0.05  # degrees; 0.01 mm in 10
ABLE = ("round-over", "v-bit", "ball")
WIDE_OPEN = 1e6  # mm; the kerf in an opening that is cleared whole
STEEPEST = 0.36  # fall over way where an edge tapers out: 20 degrees, the steepest ramp of any machine file


@dataclass(frozen=True, slots=True)
class Kerf:
    """What was cut along the wall: how wide, by a tool of which radius."""

    width: float
    radius: float

    @property
    def opened(self) -> "Kerf":
        """The same where only a kerf is opened beside the wall: as wide as the tool."""
        return Kerf(2 * self.radius, self.radius)


def kerf_of(edge: Edge, operations: Iterable[Operation]) -> Kerf | None:
    """The kerf along the edge's rim among the panel's operations; None where nothing cuts it."""
    for operation in operations:
        if operation.feature == edge.rim and isinstance(operation, Profile | Clear):
            wide = WIDE_OPEN if isinstance(operation, Clear) else operation.tool.cut_diameter
            return Kerf(wide, operation.tool.radius)
    return None


def edge_ways(panel: Panel, edge: Edge, kerf: Kerf, bench: Bench, tools: Sequence[Tool]) -> list[Way | Refusal]:
    """Every tool's way; steps of a ball only where no tool has the form itself. Flat tools are not spoken of."""
    able = [tool for tool in tools if tool.kind in ABLE] or tools
    tried = [_way(panel, edge, kerf, bench, tool) for tool in able]
    formed = [way for way in tried if isinstance(way, Way) and way.tool.kind != "ball"]
    if formed:
        return [*formed, *(way for way in tried if isinstance(way, Refusal))]
    return [_instead(way, edge, tried) if isinstance(way, Way) else way for way in tried]


def _instead(way: Way, edge: Edge, tried: Iterable[Way | Refusal]) -> Way:
    """A ball's way with why each tool that has the form does not make it."""
    kept_out = [one for one in tried if isinstance(one, Refusal) and not _wrong_form(edge.form, one.tool)]
    cut = way.operation
    if not kept_out or not isinstance(cut, EdgeCut):
        return way
    return replace(way, operation=replace(cut, why=f"{cut.why} ({'; '.join(refused(kept_out))})"))


def _way(panel: Panel, edge: Edge, kerf: Kerf, bench: Bench, tool: Tool) -> Way | Refusal:
    reason = _wrong_form(edge.form, tool)
    if reason:
        return Refusal(tool, reason)
    layers = _layers(edge.form, tool, bench)
    reason = _beyond(edge, layers, kerf, tool, bench)
    if reason:
        return Refusal(tool, reason)
    operation = EdgeCut(
        panel=panel.name,
        feature=edge.name,
        side="inside" if edge.inside else "outside",
        contour=edge.contour,
        form=edge.form,
        stretch=edge.stretch,
        kerf=kerf.width,
        wall_radius=kerf.radius,
        layers=layers,
        why=_why(edge.form, tool, len(layers), bench),
        tool=tool,
    )
    return Way(tool=tool, operation=operation, time_s=_time_s(operation, bench), missed=_missed(operation))


def _wrong_form(form: EdgeForm, tool: Tool) -> str | None:
    """Why the tool's form cannot make the edge, or None."""
    if tool.kind == "ball":
        return None
    if isinstance(form, Round):
        if tool.kind != "round-over":
            return "no tool that rounds an edge"
        if abs(profile_radius(tool) - form.radius) > SAME_RADIUS:
            return f"it leaves a radius of {profile_radius(tool):g} mm, the edge's is {form.radius:g} mm"
        return None
    return _wrong_angle(form, tool)


def _wrong_angle(form: Bevel, tool: Tool) -> str | None:
    if tool.kind != "v-bit":
        return "no tool that leaves a bevel"
    if abs((tool.tip_angle_deg or 0.0) / 2 - form.angle_deg) > SAME_ANGLE:
        return f"it leaves {(tool.tip_angle_deg or 0.0) / 2:g} degrees from the wall, the edge has {form.angle_deg:g}"
    top = radius_over_tip(tool, form.depth + _point(form, tool))
    if top >= tool.radius - 1e-9 and _uncut(form, tool) > tool.radius + 1e-9:
        return f"{tool.cut_diameter:g} mm wide, it is too small for a bevel {form.width:.2f} mm wide"
    return None


def _point(form: Bevel, tool: Tool) -> float:
    return -form_layers(form, tool, 1.0)[-1].z - form.depth


def _uncut(form: Bevel, tool: Tool) -> float:
    """How wide the cone would have to be at the face."""
    last = form_layers(form, tool, 1.0)[-1]
    return last.offset + form.width


def _layers(form: EdgeForm, tool: Tool, bench: Bench) -> tuple[Layer, ...]:
    if tool.kind == "ball":
        return stair_layers(form, tool.radius, bench.settings.scallop)
    return form_layers(form, tool, bench.machine.cutting.step_down_max)


def _beyond(edge: Edge, layers: Sequence[Layer], kerf: Kerf, tool: Tool, bench: Bench) -> str | None:
    """What of depth, tabs, bearing or run-out is in the tool's way, or None."""
    deep = -min(layer.z for layer in layers)
    reason = bench.refused(tool, deep)
    if reason:
        return reason
    height = bench.settings.tab_height or bench.machine.cutting.tab_height
    room = min(bench.stock.thinnest - height, bench.through)
    if deep > room + 1e-6:
        return f"its end goes {deep:.2f} mm deep and would strike the tabs, whose tops are {room:.2f} mm under the face"
    if tool.pilot_diameter is not None and tool.pilot_diameter > kerf.width + 1e-6:
        return f"its bearing, {tool.pilot_diameter:g} mm wide, does not go into a kerf of {kerf.width:g} mm"
    return _run_out_short(edge, layers[-1], tool, kerf.width)


def _run_out_short(edge: Edge, last: Layer, tool: Tool, kerf: float) -> str | None:
    """The tool's disc must stay within the stretch while it rises, and rise no steeper than a ramp.

    It rises by the form's depth; over the face with all of it where its end is wider than the kerf.
    """
    stretch = edge.stretch
    if stretch is None or (stretch.open_start and stretch.open_stop):
        return None
    wide = radius_over_tip(tool, -last.z)
    ahead = max(wide * wide - last.offset * last.offset, 0.0) ** 0.5
    rise = edge.form.depth if last.offset + blunt(tool) <= kerf + 1e-6 else OVER_FACE - last.z
    least = max(ahead, rise / STEEPEST)
    if stretch.run_out < least - 1e-6:
        return f"it runs out over {least:.2f} mm at least, {stretch.run_out:g} mm are given"
    return None


def _why(form: EdgeForm, tool: Tool, steps: int, bench: Bench) -> str:
    if tool.kind == "round-over":
        return f"it leaves the edge's radius, {profile_radius(tool):g} mm, in one form"
    if tool.kind == "v-bit":
        return f"its side leaves the edge's {half_angle(tool) * 57.29578:g} degrees"
    if isinstance(form, Round):
        wanted = f"round-over of {form.radius:g} mm"
    else:
        wanted = f"v-bit of {2 * form.angle_deg:g} degrees"
    return f"no {wanted} fits, so a ball in {steps} steps: ridges of {bench.settings.scallop:g} mm at most"


def _time_s(operation: EdgeCut, bench: Bench) -> float:
    length = operation.contour.length
    if operation.stretch is not None:
        length = operation.stretch.stop - operation.stretch.start
    deep, wide = heaviest(operation)
    material = MATERIALS[bench.stock.material]
    data = cutting_data(operation.tool, material, bench.machine, depth=deep, width=wide, kind="edge")
    return 60.0 * length * len(operation.layers) / data.feed


def heaviest(operation: EdgeCut) -> tuple[float, float]:
    """Depth and mean width of the level that takes most: their product is its section, mm."""
    found = sections(operation.layers, operation.tool, operation.form.width, operation.kerf)
    most = max(found)
    layer = operation.layers[found.index(most)]
    deep = max(min(-layer.z, operation.form.depth), 0.1)
    return deep, max(most / deep, 0.05)


def _missed(operation: EdgeCut) -> tuple[Region, ...]:
    """Inside corners that the wall's tool still reached, and this one's end does not."""
    widest = max(layer.offset for layer in operation.layers)
    if widest <= operation.wall_radius + 1e-9:
        return ()
    if operation.side == "outside":
        return outside(operation.contour, widest)
    region = region_of(operation.contour)
    return inside(region, region, widest).missed
