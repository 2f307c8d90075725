"""Jobs and machines at random, as TOML: what a client might send, sound or not.

Places and sizes are drawn so that most features lie on their panel and many touch, overlap or are out of reach.
"""

import json
import re
from collections.abc import Mapping
from math import atan2
from pathlib import Path

from hypothesis import strategies as st

from cncpanel.machine.read import shipped_machines

MACHINES = ("shop-router", "nesting-router", "desktop-router", "shop-router-inch")
CHANGES: Mapping[str, tuple[str, ...]] = {
    "z_zero": ('"top"', '"table"'),
    "hold": ('"clamps"', '"screws"', '"vacuum"'),
    "clamp_height": ("0", "6", "30"),
    "control": ('"program"', '"hand"'),
    "power": ("300", "800", "3000"),
    "homes": ("true", "false"),
    "direction": ('"climb"', '"conventional"'),
    "finish_direction": ('"climb"', '"conventional"'),
    "finish_allowance": ("0", "0.3"),
    "step_down_max": ("0.4", "1.0"),
    "ramp_deg": ("2", "10"),
    "tab_height": ("1", "4"),
    "tab_width": ("4", "12"),
    "arcs": ("true", "false"),
    "tool_change": ('"changer"', '"stop"', '"file"'),
    "decimals": ("3", "4"),
    "dwell_unit": ('"s"', '"ms"'),
    "percent_lines": ("true", "false"),
    "rapid_path": ('"straight"', '"dog-leg"'),
    "error": ("0.05", "1", "3"),
    "dowel": ("6", "12"),
    "thickness_spread": ("0", "0.6"),
    "z_error": ("0.01", "0.2"),
    "flatness": ("0", "0.4"),
    "cut_through": ("0.8", "2"),
    "spoilboard": ("6", "25"),
    "tab_spacing": ("60", "1000"),
    "deflection_max": ("0.01", "0.3"),
    "chip_load": ('"light"', '"industrial"'),
    "length_offsets": ("true", "false"),
    "line_max": ("40", "200"),
    "pressure": ("20", "80"),
    "spin_up_s": ("0", "12"),
}
TOOL_CHANGES: Mapping[str, tuple[str, ...]] = {
    "plunges": ("false",),
    "stick_out": ("20", "26", "60"),
    "nut_diameter": ("20", "60"),
    "flutes": ("1", "3"),
    "cutting_length": ("8", "40"),
    "measured_diameter": ("0.96", "1.04"),  # of the nominal one
}


SLOT_CUTTER = """
[[tool]]
number = 20
name = "slot cutter"
kind = "slot-cutter"
diameter = 30
flutes = 2
cutting_length = 1.6
stick_out = 45
shank_diameter = 8
nut_diameter = 28
neck_diameter = 6
plunges = false
rpm_max = 16000
"""


def lengths(low: float, high: float) -> st.SearchStrategy[float]:
    """Tenths of a millimetre, whole ones first."""
    return st.integers(int(low), int(high)).map(float) | st.integers(int(low * 10), int(high * 10)).map(
        lambda n: n / 10
    )


@st.composite
def machine(draw: st.DrawFn) -> str:
    """A shipped machine's file, up to four of its figures and three of its tools changed, mostly with a slot cutter."""
    text = shipped_machines()[draw(st.sampled_from(MACHINES))].read_text(encoding="utf-8")
    for key in draw(st.lists(st.sampled_from(sorted(CHANGES)), max_size=4, unique=True)):
        value = draw(st.sampled_from(CHANGES[key]))
        text = re.sub(rf"^{key} = [^\s#]+", f"{key} = {value}", text, count=1, flags=re.MULTILINE)
    if "slot-cutter" not in text and draw(st.booleans()):
        text += SLOT_CUTTER
    head, *tools = text.split("\n[[tool]]\n")
    for number in draw(st.lists(st.integers(0, len(tools) - 1), max_size=3, unique=True)):
        tools[number] = draw(changed(tools[number]))
    text = "\n[[tool]]\n".join((head, *(tool for tool in tools if tool)))
    return re.sub(r'^name = ".*"', 'name = "random"', text, count=1, flags=re.MULTILINE)


@st.composite
def changed(draw: st.DrawFn, tool: str) -> str:
    """A tool's table with one figure changed; "" where it is left out of the rack."""
    key = draw(st.sampled_from((*sorted(TOOL_CHANGES), "")))
    if not key:
        return ""
    value = draw(st.sampled_from(TOOL_CHANGES[key]))
    if key != "measured_diameter":
        return re.sub(rf"^{key} = [^\s#]+", f"{key} = {value}", tool, count=1, flags=re.MULTILINE)
    nominal = re.search(r"^diameter = ([\d.]+)", tool, flags=re.MULTILINE)
    assert nominal is not None, "every tool has a diameter"
    return f"measured_diameter = {float(nominal[1]) * float(value):.3f}\n{tool}"


def shapes(width: float, height: float) -> st.SearchStrategy[dict]:
    """A closed shape somewhere on a panel."""
    right, up_to = max(width * 0.7, 5), max(height * 0.7, 5)
    across, up = lengths(4, right), lengths(4, up_to)
    place = st.tuples(lengths(0, width), lengths(0, height)).map(list)
    rectangle = st.fixed_dictionaries(
        {"size": st.tuples(across, up).map(list)},
        optional={"radius": lengths(0, 30), "turn_deg": st.sampled_from((15, 45, 90, 200))},
    )
    disc = st.fixed_dictionaries({"diameter": lengths(3, max(min(width, height) * 0.7, 4))})
    corners = st.lists(st.tuples(across, up).map(list), min_size=3, max_size=6)
    round_about = corners.map(lambda points: sorted(points, key=lambda p: atan2(p[1] - up_to / 3, p[0] - right / 3)))
    freely = st.fixed_dictionaries({"outline": corners | round_about})
    return st.tuples(rectangle | disc | freely, st.sampled_from(("at", "centre")), place).map(
        lambda drawn: drawn[0] | {drawn[1]: drawn[2]}
    )


def features(width: float, height: float, board: float) -> st.SearchStrategy[tuple[str, dict]]:
    """The key of a feature's table and the feature."""
    shape, depth = shapes(width, height), lengths(1, board)
    point = st.tuples(lengths(0, width), lengths(0, height)).map(list)
    relief = {"relief": st.sampled_from(("none", "corner", "long", "short"))}
    face = {"face": st.sampled_from(("show", "back"))}
    opening = st.tuples(shape, st.fixed_dictionaries({}, optional=relief))
    recess = st.tuples(shape, st.fixed_dictionaries({"depth": depth}, optional=relief | face))
    groove = st.fixed_dictionaries(
        {"path": st.lists(point, min_size=2, max_size=4), "width": lengths(3, 20), "depth": depth},
        optional={"ends": st.sampled_from(("square", "round", "open")), "wall": st.sampled_from(("centre", "left"))}
        | face,
    )
    rabbet = st.fixed_dictionaries(
        {"side": st.sampled_from(("left", "right", "top", "bottom")), "width": lengths(3, 30), "depth": depth},
        optional={"start": lengths(0, 60)} | face,
    )
    pattern = st.fixed_dictionaries(
        {},
        optional={"row": st.fixed_dictionaries({"count": st.integers(1, 6), "pitch": lengths(5, 60)}), "depth": depth}
        | face,
    )
    hole = st.tuples(st.fixed_dictionaries({"centre": point, "diameter": lengths(2, 40)}), pattern)
    mark = st.fixed_dictionaries(
        {"text": st.text("ABCXYZ 089._-", min_size=1, max_size=8), "at": point, "height": lengths(3, 40)}
    )
    edge = st.fixed_dictionaries(
        {}, optional={"side": st.sampled_from(("left", "right", "top", "bottom")), "bench": st.booleans()}
    ).flatmap(
        lambda where: st.sampled_from(({"round": 3}, {"round": 6}, {"bevel_deg": 45, "width": 3}, {"round": 2.5})).map(
            lambda form: where | form
        )
    )
    both = {"opening": opening.map(merged), "recess": recess.map(merged), "hole": hole.map(merged)}
    rest = {"groove": groove, "rabbet": rabbet, "mark": mark, "edge": edge}
    return st.one_of(*(one.map(lambda table, key=key: (key, table)) for key, one in (both | rest).items()))


def fitting(x: float, y: float, side: float, board: float) -> st.SearchStrategy[tuple[str, dict]]:
    """A feature that lies wholly within a square cell of the panel, no deeper than the board bears."""
    inner, middle = side - 16, [x + side / 2, y + side / 2]
    depth = lengths(1, max(board / 2 - 1, 1))
    edges = st.lists(st.just({"round": 3}), max_size=1)

    def stepped(recess: dict) -> dict:
        deeper = (recess["depth"] + board - 2) / 2
        return recess | ({"step": [one | {"depth": deeper} for one in recess["step"]]} if "step" in recess else {})

    box = {"size": st.tuples(lengths(14, inner), lengths(14, inner)).map(list), "centre": st.just(middle)}
    radius = {"radius": lengths(4, 6.9)}
    face = {"face": st.sampled_from(("show", "back"))}
    opening = st.fixed_dictionaries(box | radius, optional={"edge": edges})
    within = {"diameter": 9, "centre": middle}
    recess = st.fixed_dictionaries(
        box | radius | {"depth": depth},
        optional=face
        | {
            "lines": st.just("along"),
            "island": st.just([within]),
            "step": st.just([within]),
        },
    )
    hole = st.fixed_dictionaries(
        {"centre": st.just(middle), "diameter": st.sampled_from((5, 8, 12, 20, 35))},
        optional={
            "counterbore": st.just({"diameter": 40, "depth": 1}),
            "ring": st.fixed_dictionaries({"count": st.integers(2, 7), "diameter": lengths(10, inner - 10)}),
            "grid": st.just({"columns": 2, "rows": 3, "pitch": [12, 12]}),
        },
    )
    way = [[x + 8, y + side / 2], [x + side - 8, y + side / 2]]
    width = st.sampled_from(({"houses": "board"}, {"width": 6.5}, {"width": 12.5}))
    groove = st.tuples(st.fixed_dictionaries({"path": st.just(way), "depth": depth}, optional=face), width).map(merged)
    cells = st.sampled_from(
        (
            {"holes": {"diameter": 8, "pitch": 16}},
            {"holes": {"diameter": 6.5, "pitch": 14, "arrangement": "square"}},
            {"slots": {"length": 20, "width": 7, "pitch": [30, 16]}},
        )
    )
    grille = st.tuples(st.just({"size": [inner, inner], "centre": middle}), cells).map(merged)
    mark = st.fixed_dictionaries({"text": st.just("AZ 0"), "at": st.just([x + 10, y + 10]), "height": st.just(12)})
    kinds = {
        "opening": opening,
        "recess": recess.map(stepped),
        "hole": hole,
        "groove": groove,
        "grille": grille,
        "mark": mark,
    }
    return st.one_of(*(one.map(lambda table, key=key: (key, table)) for key, one in kinds.items()))


def merged(tables: tuple[dict, dict]) -> dict:
    """Two tables as one."""
    return tables[0] | tables[1]


@st.composite
def panel(draw: st.DrawFn, number: int, board: float) -> dict:
    """A rectangle, a disc or an outline with up to five features, or a rectangle with features that fit it."""
    if draw(st.integers(0, 2)):
        return draw(fitting_panel(number, board))
    width, height = draw(lengths(40, 420)), draw(lengths(40, 300))
    outline = [[0, 0], [width, 0], [width, height * 0.6], {"to": [width * 0.6, height], "radius": 8}, [0, height]]
    form = draw(
        st.sampled_from(
            (
                {"size": [width, height]},
                {"size": [width, height], "radius": 12},
                {"diameter": width},
                {"outline": outline},
            )
        )
    )
    table: dict = {"name": f"panel {number}", "stock": "board"} | form
    table |= draw(
        st.fixed_dictionaries(
            {},
            optional={
                "copies": st.integers(1, 3),
                "mirrored": st.integers(0, 1),
                "face": st.sampled_from(("show", "back")),
                "turn": st.sampled_from(("any", "along", "across", "right-angles")),
            },
        )
    )
    for key, feature in draw(st.lists(features(width, height, board), max_size=5)):
        table.setdefault(key, []).append(feature)
    return table


@st.composite
def fitting_panel(draw: st.DrawFn, number: int, board: float) -> dict:
    """A rectangle of four cells, of which some hold a feature."""
    side = draw(lengths(60, 150))
    table: dict = {"name": f"panel {number}", "stock": "board", "size": [2 * side + 16, 2 * side + 16]}
    table |= draw(st.fixed_dictionaries({}, optional={"copies": st.integers(1, 2), "radius": st.just(12)}))
    table |= draw(rims(2 * side + 16, board))
    for cell in draw(st.lists(st.integers(0, 3), max_size=3, unique=True)):
        key, feature = draw(fitting(8 + side * (cell % 2), 8 + side * (cell // 2), side, board))
        table.setdefault(key, []).append(feature)
    return table


def rims(side: float, board: float) -> st.SearchStrategy[dict]:
    """What becomes of a square panel's own rim, and where it has no tabs: mostly nothing."""
    one_side = {"side": st.sampled_from(("left", "right", "top", "bottom"))}
    stretch = {"start": lengths(0, side / 3), "stop": lengths(side / 2, side - 30)}
    form = st.sampled_from(
        (
            {"round": 3},
            {"round": 2, "faces": "back"},
            {"round": 2.5, "faces": "both"},
            {"bevel_deg": 30, "width": 3},
            {"bevel_deg": 45, "width": 2, "faces": "both"},
            {"t_slot": {"width": 2.4, "depth": 6}},
            {"t_slot": {"width": min(2.0, board / 3), "depth": 7}, "bench": False},
        )
    )
    edge = st.tuples(form, st.just({}) | st.fixed_dictionaries(one_side, optional=stretch)).map(merged)
    free = st.fixed_dictionaries(one_side, optional=stretch | {"why": st.just("seen")})
    some = st.fixed_dictionaries(
        {},
        optional={"edge": edge.map(lambda one: [one]), "tab_free": st.lists(free, min_size=1, max_size=2)},
    )
    return st.just({}) | some


ASKED: Mapping[str, tuple[object, ...]] = {
    "direction": ("climb", "conventional"),
    "finish_direction": ("climb", "conventional"),
    "wall_allowance": (0, 0.05, 0.2, 0.5, 2),
    "floor_allowance": (0.05, 0.2, 1, 3),
    "least_floor": (0, 0.5, 1, 4),
    "relief_radius": (0.5, 1.6, 6),
    "scallop": (0.005, 0.3),
    "spare": (0, 15),
    "second_clearing": ("always", "never"),
    "tab_shape": ("sloped",),
    "tab_width": (2, 5, 10, 25),
}


def keep_outs(length: float, width: float) -> st.SearchStrategy[list[dict]]:
    """Clamps, screws, flaws and what is cut already, on a sheet of that size: mostly none."""
    one = st.fixed_dictionaries(
        {
            "kind": st.sampled_from(("clamp", "screw", "used", "defect")),
            "at": st.tuples(lengths(0, length - 80), lengths(0, width - 80)).map(list),
            "size": st.tuples(lengths(10, 80), lengths(10, 80)).map(list),
        },
        optional={"height": st.sampled_from((4, 20, 60))},
    )
    drilled = st.tuples(lengths(20, length - 80), lengths(20, width - 80)).map(
        lambda at: {"kind": "screw", "at": list(at), "size": [9, 9], "height": 3, "hole": 4}
    )
    return st.just([]) | st.lists(one | drilled, max_size=3)


HOLDING: tuple[dict, ...] = (
    {},
    {},
    {"tab_height": 1.8},
    {"tab_height": 0.6},
    {"tab_height": 5},
    {"hold": "skin"},
    {"hold": "skin", "skin": 0.8},
    {"hold": "skin", "skin": 2.2},
    {"hold": "vacuum"},
    {"screws": {"diameter": 4, "head": 8, "head_height": 3}},
    {"turning": {"axis": "y", "by": "dowels"}},
    {"turning": {"axis": "x", "by": "edge"}},
)


@st.composite
def job(draw: st.DrawFn) -> str:
    """A job file for the machine beside it, random.toml."""
    board = draw(st.sampled_from((3.0, 6.0, 12.0, 18.0, 25.0)))
    stock: dict = {
        "name": "board",
        "material": draw(st.sampled_from(("mdf", "particleboard", "plywood", "softwood", "hardwood", "acrylic"))),
        "thickness": board,
        "sheet": draw(st.sampled_from(([700, 500], [700, 500], [1200, 600], [2440, 1220]))),
        "count": 2,
    }
    stock |= draw(
        st.fixed_dictionaries(
            {},
            optional={
                "measured": st.lists(
                    lengths(board * 10 - 4, board * 10 + 4).map(lambda n: n / 10), min_size=1, max_size=3
                ),
                "margin": lengths(0, 30),
                "grain": st.just("long"),
            },
        )
    )
    stock["keep_out"] = draw(keep_outs(*stock["sheet"]))
    panels = [draw(panel(number, board)) for number in range(draw(st.integers(1, 3)))]
    settings = draw(
        st.fixed_dictionaries(
            {}, optional={"least_web": lengths(0.4, 6), "gap": lengths(0, 20), "use_openings": st.booleans()}
        )
    )
    settings |= draw(st.fixed_dictionaries({}, optional={key: st.sampled_from(of) for key, of in ASKED.items()}))
    settings |= draw(st.sampled_from(HOLDING))
    if any("hole" in keep for keep in stock["keep_out"]):
        settings["screws"] = {"diameter": 4, "head": 8, "head_height": 3}
    if "screws" in settings:
        settings["screws"] = settings["screws"] | {"length": board + 10}
    head = {"name": "Random", "machine": "random.toml", "units": "mm"}
    return toml({"job": head, "settings": settings | {"packing": {"steps": 0}}, "stock": [stock], "panel": panels})


def toml(tables: Mapping[str, object]) -> str:
    """TOML of plain tables, lists of tables and values."""
    lines = []
    for name, table in tables.items():
        for one, head in (
            [(table, f"[{name}]")] if isinstance(table, dict) else [(each, f"[[{name}]]") for each in table]
        ):
            lines += [head, *(f"{key} = {inline(value)}" for key, value in one.items()), ""]
    return "\n".join(lines)


def inline(value: object) -> str:
    """A value as TOML writes it in one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {inline(one)}" for key, one in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(inline, value)) + "]"
    return json.dumps(value)


def written(folder: Path, job_text: str, machine_text: str) -> Path:
    """Both files; the job's path."""
    (folder / "random.toml").write_text(machine_text, encoding="utf-8")
    path = folder / "job.toml"
    path.write_text(job_text, encoding="utf-8")
    return path
