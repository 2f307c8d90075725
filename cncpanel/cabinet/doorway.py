"""Through the door, round the corner and upright under the ceiling."""

from collections.abc import Iterator
from math import acos, atan2, degrees, hypot

from cncpanel.cabinet.finding import Finding
from cncpanel.cabinet.overlap import whole_box
from cncpanel.cabinet.scene import Scene

TRIMS = 5.0  # mm; film, trims and the heads of screws (common practice)
SPARE = 20.0  # mm of the clear opening (common practice)
LEAN_SOURCE = "height x cos a + depth x sin a; ADA 404.2.3: 2032 high; what is kept free is common practice"
UNDER_CEILING = 50.0  # mm (common practice)
DOOR_SOURCE = "ADA 404.2.3: 815 clear, 2032 high; Approved Document M: 750-1000; a 762 leaf leaves about 700"


def doorway_findings(scene: Scene) -> Iterator[Finding]:
    """Each way to carry it through, and standing it up; nothing where no doorway is told."""
    site = scene.assembly.cabinet.site
    width, depth, height = size(scene)
    place = scene.read.file.place(("cabinet", "site"))
    if site.doorway is not None:
        yield _through(scene, site.doorway - SPARE, site.doorway_height - SPARE)
        yield _leaning(scene, site.doorway_height - SPARE)
    plan, tilted = hypot(width, depth), hypot(height, depth)
    text = f"its plan diagonal, for a turn in a corridor, is {plan:.0f}; stood up from its back it sweeps {tilted:.0f}"
    if site.ceiling is None:
        yield Finding(check="turning", verdict="ok", text=text, place=place)
    elif height > site.ceiling:
        said = f"{height:.0f} high under a ceiling at {site.ceiling:g}: make it {height - site.ceiling:.0f} lower"
        low = scene.read.file.place(("cabinet", "site", "ceiling"))
        yield Finding(check="turning", verdict="fails", text=said, place=low)
    elif tilted <= site.ceiling - UNDER_CEILING:
        yield Finding(check="turning", verdict="ok", text=f"{text} under {site.ceiling:g}", place=place)
    else:
        said = f"{text}; the ceiling at {site.ceiling:g} leaves {site.ceiling - UNDER_CEILING:g}: carry it in upright"
        yield Finding(
            check="turning", verdict="look", text=said, place=scene.read.file.place(("cabinet", "site", "ceiling"))
        )


def size(scene: Scene) -> tuple[float, float, float]:
    """Width, depth and height over all, feet and trims within."""
    cabinet = scene.assembly.cabinet
    ys, zs = [c.to[0] for c in cabinet.profile], [c.to[1] for c in cabinet.profile]
    for solid in scene.panel_solids:
        _, low_y, low_z, _, high_y, high_z = whole_box(solid)
        ys += [low_y, high_y]
        zs += [low_z, high_z]
    return cabinet.width, max(ys) - min(ys), max(zs) - min(zs) + scene.ground


def _through(scene: Scene, clear: float, high: float) -> Finding:
    width, depth, height = size(scene)
    w, d, h = width + TRIMS, depth + TRIMS, height
    ways = {
        "upright, front first": (w, h),
        "upright, side first": (d, h),
        "on its back, feet first": (w, d),
        "on its side, feet first": (d, w),
        "on its back, side first": (h, d),
        "on its side, front first": (h, w),
    }
    goes = [said for said, (across, up) in ways.items() if across <= clear and up <= high]
    place = scene.read.file.place(("cabinet", "site", "doorway"))
    sizes = f"{width:.0f} wide, {depth:.0f} deep, {height:.0f} high and {TRIMS:g} for trims"
    if goes:
        text = f"{sizes}, goes through {clear + SPARE:g} clear {'; '.join(goes)}"
        return Finding(check="doorway", verdict="ok", text=text, place=place, source=DOOR_SOURCE)
    least = min(w, d)
    text = (
        f"{sizes}, does not go through {clear + SPARE:g} clear in any way: its least side {least:.0f} and {SPARE:g} "
        f"are {least + SPARE - (clear + SPARE):.0f} too much: a narrower cabinet, or one in two parts"
    )
    return Finding(check="doorway", verdict="fails", text=text, place=place, source=DOOR_SOURCE)


def _leaning(scene: Scene, high: float) -> Finding:
    """Upright on a truck that leans it back: at an angle a it takes up H cos a + D sin a of the doorway's height."""
    _, depth, height = size(scene)
    diagonal, steepest = hypot(height, depth), degrees(atan2(depth, height))
    place = scene.read.file.place(("cabinet", "site", "doorway_height"))
    said = f"leant back on a truck it takes up {diagonal:.0f} of the doorway's height at {steepest:.0f} degrees"
    room = f"of {high + SPARE:g} less {SPARE:g}"
    if diagonal <= high:
        return Finding(
            check="leaning",
            verdict="ok",
            text=f"{said}, {room}: it goes in at any angle",
            place=place,
            source=LEAN_SOURCE,
        )
    beside = degrees(acos(high / diagonal))
    angles = [f"up to {steepest - beside:.0f} degrees"] if height <= high else []
    angles += [f"from {steepest + beside:.0f} degrees on"] if depth <= high else []
    text = f"{said}, {room}: " + (f"lean it {' or '.join(angles)}" if angles else "it goes in at no angle")
    return Finding(check="leaning", verdict="look", text=text, place=place, source=LEAN_SOURCE)
