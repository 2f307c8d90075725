"""A small machine, a small job and where its one part lies: what the fixture programs are judged against.

The plate: 100 x 60 x 18, a recess 40 x 30 with corners of 4 and 6 deep, a 5 mm hole through, lying at (50, 50).
"""

from dataclasses import dataclass, replace
from pathlib import Path

from cncpanel.errors.toml_file import TomlFile
from cncpanel.job.model import Job, Stock
from cncpanel.job.read import ReadJob
from cncpanel.machine.model import Machine
from cncpanel.proof.circumstances import Circumstances
from cncpanel.proof.load import CuttingLimits
from cncpanel.proof.obstacle import Obstacle
from cncpanel.proof.prove import prove
from cncpanel.proof.report import Report
from cncpanel.proof.target import Target
from cncpanel.wanted import target

PROGRAMS = Path(__file__).resolve().parents[2] / "fixtures" / "programs"

_TOOL = {
    "flutes": 2,
    "cutting_length": 22,
    "stick_out": 30,
    "nut_diameter": 30,
    "shank_diameter": 6,
    "plunges": False,
    "rpm_max": 24000,
}
TOOLS = (
    _TOOL | {"number": 1, "name": "6 mm", "kind": "up-cut", "diameter": 6},
    _TOOL | {"number": 2, "name": "4 mm", "kind": "up-cut", "diameter": 4, "plunges": True},
    _TOOL
    | {
        "number": 3,
        "name": "5 mm drill",
        "kind": "drill",
        "diameter": 5,
        "tip_angle_deg": 118,
        "plunges": True,
        "rpm_max": 7000,
    },
    _TOOL | {"number": 4, "name": "v", "kind": "v-bit", "diameter": 6, "tip_angle_deg": 60, "plunges": True},
)


def machine(**changes: dict[str, object]) -> Machine:
    """The scene's machine; `changes` names tables and the keys to set in them."""
    tables: dict[str, dict[str, object]] = {
        "travel": {"x": (0, 400), "y": (0, 300), "z": (-18, 100)},
        "table": {
            "zero_x": 50,
            "zero_y": 50,
            "spoilboard": 18,
            "flatness": 0.1,
            "z_zero": "top",
            "z_error": 0.05,
            "thickness_spread": 0.1,
            "cut_through": 0.5,
            "hold": "screws",
            "clamp_height": 5,
        },
        "spindle": {
            "control": "program",
            "rpm_min": 6000,
            "rpm_max": 24000,
            "power": 1500,
            "spin_up_s": 3,
            "spin_down_s": 5,
        },
        "motion": {
            "feed_xy_max": 6000,
            "feed_z_max": 2000,
            "rapid_xy": 10000,
            "rapid_z": 4000,
            "acceleration_xy": 500,
            "acceleration_z": 200,
            "rapid_path": "straight",
            "homes": True,
            "home_z": 0,
            "park": (0, 190),
            "tool_change_s": 60,
        },
        "cutting": {
            "chip_load": "light",
            "direction": "climb",
            "step_down_max": 1.0,
            "finish_allowance": 0,
            "deflection_max": 0.05,
            "ramp_deg": 10,
            "tab_width": 8,
            "tab_height": 2.5,
            "tab_spacing": 200,
        },
        "dialect": {
            "unit": "mm",
            "decimals": 4,
            "arcs": True,
            "line_max": 80,
            "percent_lines": False,
            "work_offset": "G54",
            "zero_in_g92": False,
            "path_words": "G61",
            "path_mode": "exact",
            "dwell_unit": "s",
            "tool_change": "stop",
            "length_offsets": False,
            "end_word": "M30",
        },
    }
    merged = {name: table | changes.get(name, {}) for name, table in tables.items()}
    return Machine.model_validate({"name": "scene", "title": "Scene", **merged, "tool": TOOLS})


def read_job(**panel: object) -> ReadJob:
    """The scene's job with keys of its panel changed."""
    plate = {
        "name": "plate",
        "stock": "board",
        "size": (100, 60),
        "recess": [{"size": (40, 30), "at": (20, 15), "radius": 4, "depth": 6}],
        "hole": [{"centre": (80, 30), "diameter": 5}],
    } | panel
    board = {"name": "board", "material": "mdf", "thickness": 18, "sheet": (300, 200), "count": 1}
    job = Job.model_validate({"job": {"name": "scene", "machine": "scene"}, "stock": [board], "panel": [plate]})
    return ReadJob(
        job=job, file=TomlFile(path=Path("scene.toml"), shown="scene.toml", data={}, lines={}), shapes={}, warnings=()
    )


@dataclass(frozen=True)
class Part:
    panel: int = 0
    label: str = "plate"
    mirrored_copy: bool = False
    x: float = 50.0
    y: float = 50.0
    angle_deg: float = 0.0


@dataclass(frozen=True)
class Sheet:
    stock: Stock
    parts: tuple[Part, ...]


@dataclass(frozen=True)
class SceneTab:
    part: str
    centre: tuple[float, float]
    along: tuple[float, float]
    width: float = 8.0
    top: float = -15.5
    flank_deg: float | None = None


@dataclass(frozen=True)
class SceneSpot:
    panel: str
    feature: str
    at: tuple[float, float]
    size: float


TABS = (
    SceneTab("plate", (80.0, 50.0), (1.0, 0.0)),
    SceneTab("plate", (120.0, 110.0), (-1.0, 0.0)),
)


def scene_target(
    *,
    part: Part | None = None,
    tabs: tuple[SceneTab, ...] = TABS,
    spots: tuple[SceneSpot, ...] = (),
    **panel: object,
) -> Target:
    """What the scene's programs are to make."""
    read = read_job(**panel)
    return target(read, Sheet(read.job.stock[0], (part or Part(),)), machine(), tabs, spots)


def good_text() -> str:
    """The good program."""
    return (PROGRAMS / "good" / "plate.nc").read_text(encoding="ascii")


def judge(
    text: str,
    wanted: Target | None = None,
    on: Machine | None = None,
    holding: tuple[Obstacle, ...] = (),
    limits: CuttingLimits | None = None,
    uses: tuple[int, ...] | None = None,
    used: tuple[Obstacle, ...] = (),
    flaws: tuple[Obstacle, ...] = (),
) -> Report:
    """The report on one program; `uses`: the tools that its cuts are to use, in order."""
    given = Circumstances(holding=holding, limits=limits, used=used, flaws=flaws)
    tools = {} if uses is None else {"plate": uses}
    return prove([("plate", text)], on or machine(), wanted or scene_target(), tools, circumstances=given)


def kinds(report: Report) -> set[str]:
    """The kinds of everything found."""
    return {finding.kind for finding in report.findings}


__all__ = ["Part", "SceneSpot", "SceneTab", "judge", "kinds", "machine", "replace", "scene_target"]
