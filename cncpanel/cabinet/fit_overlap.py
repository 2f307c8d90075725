"""No two things in one place: panels, cleats, bodies of fittings, what stands inside."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from math import inf

from cncpanel.cabinet.finding import Finding
from cncpanel.cabinet.overlap import Overlap, overlaps
from cncpanel.cabinet.scene import Scene
from cncpanel.cabinet.solid import Solid
from cncpanel.errors import Place

CHECK = "overlap"
_ROOMY = {"load": 0, "fitting": 1, "cleat": 2, "panel": 3}  # who is asked to move: the first


def overlap_findings(scene: Scene) -> Iterator[Finding]:
    """Each pair that lies in each other; one line where there is none."""
    solids = scene.solids
    housed = _housed(scene)

    def allowed(first: Solid, second: Solid) -> float:
        if {first.kind, second.kind} == {"fitting", "panel"} and first.index == second.index:
            return inf  # it goes through its own panel
        pair = frozenset((first.index, second.index))
        return scene.assembly.cabinet.clearance if pair in housed else 0.0

    found = [exact for one in overlaps(solids, allowed) for exact in _in_detail(one, scene, allowed)]
    for overlap in found:
        yield _finding(overlap, solids, scene)
    if not found:
        text = f"{len(solids)} panels, cleats and bodies, none in another"
        yield Finding(check=CHECK, verdict="ok", text=text, place=scene.read.file.place(("cabinet",)))


def _in_detail(overlap: Overlap, scene: Scene, allowed: Callable[[Solid, Solid], float]) -> Iterator[Overlap]:
    """The overlap again with the panels' small openings and holes: nothing where one solid goes through those."""
    pair = [scene.in_detail(scene.solids[number]) for number in (overlap.first, overlap.second)]
    for found in overlaps(pair, allowed):
        yield replace(found, first=overlap.first, second=overlap.second)


def _housed(scene: Scene) -> set[frozenset[int]]:
    """Pairs of panels of which one stands in the other's groove: it has the groove's play to move in."""
    by_name = {panel.name: index for index, panel in enumerate(scene.read.job.panel)}
    pairs = set()
    for standing in scene.assembly.standings:
        position = scene.position(standing.index)
        if position.sides in ("housed", "rabbeted"):
            pairs |= {frozenset((standing.index, side.index)) for side in scene.sides}
        for end in (position.start, position.end):
            name = (end.housed or end.rabbeted) if end else None
            if name in by_name:
                pairs.add(frozenset((standing.index, by_name[name])))
    return pairs


def _finding(overlap: Overlap, solids: tuple[Solid, ...], scene: Scene) -> Finding:
    pair = solids[overlap.first], solids[overlap.second]
    mover, other = sorted(pair, key=lambda solid: _ROOMY[solid.kind])
    if mover.kind == other.kind == "panel" and _ends_at(scene, other.index, mover.index):
        mover, other = other, mover
    x, y, z = overlap.at
    where = f"near x {x:.1f}, y {y:.1f}, z {z:.1f}"
    text = f"{mover.label} lies {overlap.depth:.2f} mm in {other.label}, {where}: {_remedy(mover, other, scene)}"
    return Finding(check=CHECK, verdict="fails", text=text, place=_place(mover, scene))


def _ends_at(scene: Scene, index: int, other: int) -> bool:
    """Whether the panel's position says that it meets the other one."""
    position = scene.position(index)
    mates = [end.mate for end in (position.start, position.end) if end is not None]
    is_side = scene.position(other).side is not None
    return is_side or any(mate is not None and mate[1] == scene.name(other) for mate in mates)


def _remedy(mover: Solid, other: Solid, scene: Scene) -> str:
    if mover.kind == "panel" and other.kind == "panel":
        housed = frozenset((mover.index, other.index)) in _housed(scene)
        shorter = f'shorten "{scene.name(mover.index)}" or move it'
        return f'{shorter}, or move the housing in "{scene.name(other.index)}"' if housed else shorter
    if mover.kind == "load":
        return f"move {mover.label}"
    if mover.kind == "cleat":
        return f'shorten the cleats of "{scene.name(mover.index)}" or move "{scene.name(other.index)}"'
    return f'move it on panel "{scene.name(mover.index)}"'


def _place(solid: Solid, scene: Scene) -> Place:
    if solid.kind == "load":
        return scene.read.file.place(("cabinet", "load"))
    if solid.kind == "fitting":
        return scene.read.file.place(("panel", solid.index, "fitting"))
    return scene.place(solid.index)
