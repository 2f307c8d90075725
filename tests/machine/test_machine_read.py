"""Machine files: the shipped ones are read, and every mistake of a bad one is told with its line."""

import tomllib
from pathlib import Path

import pytest

from cncpanel.errors import ProblemsFound
from cncpanel.machine import read
from cncpanel.machine.read import read_machine, shipped_machines

NAMES = ("desktop-router", "nesting-router", "shop-router", "shop-router-inch")


def _told(text: str, folder: Path) -> list[str]:
    """What reading `text` as a machine file tells."""
    path = folder / "shop-router.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ProblemsFound) as caught:
        read_machine(str(path))
    return [str(problem) for problem in caught.value.problems]


def _shop(*changes: tuple[str, str]) -> str:
    """The shop router's file with lines changed; each must be there."""
    text = shipped_machines()["shop-router"].read_text(encoding="utf-8")
    for before, after in changes:
        assert before in text
        text = text.replace(before, after, 1)
    return text


def _line(text: str, part: str) -> int:
    return next(number for number, line in enumerate(text.splitlines(), 1) if line.startswith(part))


def test_the_shipped_machines_are_these() -> None:
    assert tuple(shipped_machines()) == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_a_shipped_machine_is_read_by_its_name(name: str) -> None:
    assert read_machine(name).name == name


@pytest.mark.parametrize("name", NAMES)
def test_every_figure_of_a_shipped_machine_has_a_comment(name: str) -> None:
    lines = shipped_machines()[name].read_text(encoding="utf-8").splitlines()
    figures = [line for line in lines if line.partition("=")[2].lstrip()[:1] in tuple("-[{0123456789")]
    assert len(figures) > 50
    assert [line for line in figures if "#" not in line] == []


@pytest.mark.parametrize("name", NAMES)
def test_every_rack_cuts_18_mm_board_through(name: str) -> None:
    machine = read_machine(name)
    needed = 18.2 + machine.table.cut_through
    assert any(tool.is_flat and tool.diameter >= 6 and tool.reach >= needed for tool in machine.tool)


def test_the_shop_routers_take_a_full_sheet_and_the_tool_beyond_its_edges() -> None:
    for name in ("shop-router", "shop-router-inch", "nesting-router"):
        machine = read_machine(name)
        spans = [machine.travel.x, machine.travel.y]
        zeros = [machine.table.zero_x, machine.table.zero_y]
        along, across = (1, 0) if machine.sheet_turned else (0, 1)
        for axis, size in ((along, 2440), (across, 1220)):
            assert zeros[axis] - spans[axis][0] >= 20
            assert spans[axis][1] - zeros[axis] - size >= 20


def test_the_inch_router_has_its_long_axis_along_y() -> None:
    machine = read_machine("shop-router-inch")
    assert (machine.sheet_turned, machine.dialect.unit) == (True, "inch")


def test_an_unknown_name_tells_the_nearest_and_all() -> None:
    with pytest.raises(ProblemsFound) as caught:
        read_machine("shop-ruter")
    assert str(caught.value) == (
        'machine: there is no machine "shop-ruter"; did you mean shop-router? '
        "(desktop-router, nesting-router, shop-router, shop-router-inch, or a path to a .toml file)"
    )


def test_a_machine_file_is_looked_for_beside_the_job(tmp_path: Path) -> None:
    (tmp_path / "shop-router.toml").write_text(_shop(("1800 ", "1500 ")), encoding="utf-8")
    assert read_machine("shop-router.toml", tmp_path / "job.toml").spindle.power == 1500
    assert read_machine("shop-router.toml", tmp_path).spindle.power == 1500


def test_a_machine_file_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound, match=r"machine: there is no machine file .*mill\.toml \(a path that exists\)"):
        read_machine("mill.toml", tmp_path)


@pytest.mark.parametrize("name", ["x" * 5000 + ".toml", "a\0.toml", ""])
def test_a_name_that_no_file_can_have_is_a_problem_and_no_crash(name: str, tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound, match="machine: there is no machine"):
        read_machine(name, tmp_path)


def test_an_installed_package_finds_its_machines_inside_itself(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "mill.toml").write_text(_shop(), encoding="utf-8")
    monkeypatch.setattr(read, "_FOLDERS", (tmp_path / "absent", tmp_path))
    assert shipped_machines() == {"mill": tmp_path / "mill.toml"}


def test_missing_unknown_and_contradicting_values_are_told_in_one_run(tmp_path: Path) -> None:
    text = _shop(
        ("spin_up_s = 5", "spinup = 5"),
        ("cut_through = 0.5 ", "cut_through = 0.3 "),
        ('path_words = "G61" ', 'path_words = "G64" '),
        ("acceleration_z = 400", "acceleration_z = -400"),
        ("cutting_length = 25 ", "cutting_length = 40 "),
    )
    line = {key: _line(text, key) for key in ("[spindle]", "spinup", "cut_through", "path_words", "acceleration_z")}
    assert _told(text, tmp_path) == [
        f"shop-router.toml:{line['cut_through']}: table.cut_through: 0.3 mm does not cut through: "
        "thickness_spread + flatness + z_error is 0.4 (set Z zero on the table or raise cut_through)",
        f"shop-router.toml:{line['[spindle]']}: spindle.spin_up_s: missing",
        f'shop-router.toml:{line["spinup"]}: spindle.spinup: unknown key (did you mean "spin_up_s"?)',
        f"shop-router.toml:{line['acceleration_z']}: motion.acceleration_z: -400 is too small (more than 0)",
        f"shop-router.toml:{line['path_words']}: dialect.path_words: G64 asks for blending "
        '(G61, or path_mode = "blend")',
        f"shop-router.toml:{_line(text, 'cutting_length = 40')}: tool[0].cutting_length: flutes of 40 mm "
        "reach into the collet: stick_out is 32 (at most 32, or more stick_out)",
    ]


@pytest.mark.parametrize(
    ("before", "after", "told"),
    [
        (
            'control = "program"',
            'control = "hand"',
            "spindle.dial: set by hand, but neither a dial nor one fixed",
        ),
        (
            "spoilboard = 18 ",
            "spoilboard = 3.5 ",
            "table.spoilboard: 3.5 mm is too thin for tools that go up to 0.7",
        ),
        ('hold = "screws"', 'hold = "vacuum"', "table.clamp_height: a sheet held by vacuum has no clamps"),
        ("zero_x = 50 ", "zero_x = 2600 ", "table.zero_x: 2600 is outside travel.x (0 to 2540)"),
        (
            "park = [0, 1260]",
            "park = [0, 1300]",
            "motion.park: its y, 1300, is machine y 1350, outside the travel",
        ),
        ("z = [-10, 140]", "z = [0, 140]", "travel.z: lowest 0 cannot cut through (at most -0.55)"),
        ("z = [-10, 140]", "z = [-10, 11]", "travel.z: highest 11 does not clear the clamps (more than 11)"),
        ("x = [0, 2540]", "x = [2540, 0]", "travel.x: its lowest, 2540, is not below its highest, 0"),
        (
            "rpm_min = 6000",
            "rpm_min = 26000",
            "spindle.rpm_min: 26000 is above rpm_max 24000 (at most 24000)",
        ),
        ("rapid_z = 6000", "rapid_z = 3000", "motion.feed_z_max: 4000 is above rapid_z 3000 (at most 3000)"),
        ('direction = "climb"', 'direction = "conventional"\n', None),
        (
            "length_offsets = false",
            "length_offsets = true",
            "dialect.length_offsets: only a changer's tools have",
        ),
        (
            "decimals = 4",
            "decimals = 4\nblend_tolerance = 0.02",
            "dialect.blend_tolerance: an exact path has none",
        ),
        ("number = 2", "number = 1", "tool[1].number: 1 is tool[0]'s already (a number of its own)"),
        (
            "up_cut_length = 6 ",
            "up_cut_length = 36 ",
            "tool[3].up_cut_length: the up-cut part is as long as the",
        ),
        (
            "diameter = 16 ",
            "diameter = 12 ",
            "tool[7].diameter: 12 mm is not 2 (profile_radius + tip_radius)",
        ),
        (
            "diameter = 6 ",
            "measured_diameter = 9.5\ndiameter = 6 ",
            "tool[0].measured_diameter: 9.5 mm is too far",
        ),
        ("tip_angle_deg = 60 ", "# ", "tool[4].tip_angle_deg: missing (included angle of the tip, degrees)"),
    ],
)
def test_a_contradiction_is_told_at_its_key(before: str, after: str, told: str | None, tmp_path: Path) -> None:
    text = _shop((before, after))
    if told is None:
        (tmp_path / "shop-router.toml").write_text(text, encoding="utf-8")
        assert read_machine(str(tmp_path / "shop-router.toml")).cutting.direction == "conventional"
        return
    messages = _told(text, tmp_path)
    assert [message for message in messages if told in message] == messages


def test_blending_needs_a_tolerance_that_covers_its_words(tmp_path: Path) -> None:
    blend = (
        'path_words = "G61"     # exact path\npath_mode = "exact"',
        'path_words = "G64 P0.05"\npath_mode = "blend"',
    )
    assert "dialect.blend_tolerance: blending without a tolerance" in _told(_shop(blend), tmp_path)[0]
    small = ("decimals = 4", "decimals = 4\nblend_tolerance = 0.02")
    assert "path_words lets it leave the path by 0.05 mm (at least 0.05)" in _told(_shop(blend, small), tmp_path)[0]


def test_a_text_that_is_not_toml_is_told_with_its_line(tmp_path: Path) -> None:
    text = _shop(("rpm_max = 24000 ", "rpm_max = 24 000 "))
    assert _told(text, tmp_path)[0].startswith(f"shop-router.toml:{_line(text, 'rpm_max')}: not TOML")


def test_the_source_tree_ships_files_that_are_plain_toml() -> None:
    for path in shipped_machines().values():
        assert tomllib.loads(path.read_text(encoding="ascii"))


@pytest.mark.parametrize(
    ("before", "after", "told"),
    [
        ("power = 1800", "power = true", "spindle.power: a number is needed, not true or false"),
        ("power = 1800", 'power = "1800"', "spindle.power: a number is needed, not a text"),
        ("y = [0, 1320]", "y = [true, 1320]", "travel.y[0]: a number is needed, not true or false"),
        ("homes = true", 'homes = "yes"', "motion.homes: true or false is needed, not a text"),
        ("flutes = 2", "flutes = true", "tool[0].flutes: a whole number is needed, not true or false"),
        ("home_z = 0", "home_z = 1e12", "motion.home_z: 1e+12 is too large (at most 1e+06)"),
        (
            "deflection_max = 0.05",
            "deflection_max = 1e12",
            "cutting.deflection_max: 1e+12 is too large (at most 1e+06)",
        ),
        (
            'name = "6 mm up-cut"',
            'name = "6 mm\\tup-cut"',
            "tool[0].name: character 5, U+0009, cannot be printed "
            "(no line breaks, tabs, control or invisible characters)",
        ),
    ],
)
def test_a_value_of_another_kind_or_beyond_any_machine_is_told(
    before: str, after: str, told: str, tmp_path: Path
) -> None:
    text = _shop((before, after))
    assert [f"shop-router.toml:{_line(text, after)}: {told}"] == _told(text, tmp_path)
