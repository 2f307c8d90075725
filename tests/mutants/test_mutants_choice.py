"""Which mutants there are, which tests are chosen for them, and that the explained ones still are mutants."""

from pathlib import Path

from explained import Explained, explained, stale
from mutant import Mutant, mutants, sample
from put_in import put_in
from reach import Reach, chosen, patience, within

ROOT = Path(__file__).resolve().parent.parent.parent
SOURCE = '''"""A docstring."""

GAP = 3


def wider(width: int | None) -> int:
    """Another."""
    assert isinstance(width, int)
    return width + GAP
'''


def written(folder: Path) -> list[Mutant]:
    (folder / "wide.py").write_text(SOURCE, "utf-8")
    return mutants(folder, "wide.py")


def test_numbers_and_operators_are_changed_and_types_are_not(tmp_path: Path) -> None:
    found = written(tmp_path)
    assert [(one.where, one.text) for one in found] == [
        ("", "GAP = 3 => GAP = 4"),
        ("wider", "return width + GAP => return width - GAP"),
    ]
    assert found[1].code(tmp_path) == SOURCE.replace("width + GAP", "width - GAP")
    assert found[1].is_python(tmp_path)


def test_a_change_elsewhere_leaves_the_seeds_order_as_it_is(tmp_path: Path) -> None:
    before = [one.rank(7) for one in written(tmp_path)]
    (tmp_path / "wide.py").write_text("# a line more\n" + SOURCE, "utf-8")
    assert before == [one.rank(7) for one in mutants(tmp_path, "wide.py")]
    assert before != [one.rank(8) for one in mutants(tmp_path, "wide.py")]


def test_the_tests_of_a_mutant_run_its_line_or_what_names_it(tmp_path: Path) -> None:
    constant, operator = written(tmp_path)
    reach = {
        "a.py::runs": Reach(1.0, {"wide.py": {8, 9}}),
        "a.py::uses_what_that_made": Reach(0.1, {"wide.py": {8}}),
        "b.py::passes_by": Reach(0.1, {"wide.py": {8}}),
    }
    assert chosen(operator, reach, {}, 60) == ["a.py::runs", "a.py::uses_what_that_made"]
    assert chosen(operator, reach, {}, 1) == ["a.py::runs"]
    assert chosen(constant, reach, {"GAP": {"wide.py": {3, 9}}}, 1) == ["a.py::runs"]


def test_a_test_may_take_as_long_as_the_slowest_of_its_file_besides() -> None:
    reach = {"a.py::f": Reach(1, {}), "a.py::g": Reach(9, {}), "b.py::h": Reach(2, {})}
    assert patience(reach) == {"a.py::f": 10, "a.py::g": 18, "b.py::h": 4}


def test_quick_cases_come_first_and_further_ones_of_a_function_as_if_they_were_slower() -> None:
    reach = {test: Reach(seconds, {}) for test, seconds in (("f[1]", 3), ("f[2]", 2), ("g", 4), ("h", 90))}
    assert within(100, reach) == ["f[2]", "g", "f[1]", "h"]
    assert within(8, reach) == ["f[2]", "g"]
    assert within(5, reach, lambda one: (one.seconds > 2,)) == ["f[2]", "f[1]"]  # another way through the changed lines


def test_code_is_put_into_a_method_and_a_property() -> None:
    from cncpanel.geometry.point import Point

    cross, unit = vars(Point)["cross"], vars(Point)["unit"].fget
    codes = cross.__code__, unit.__code__
    by_text = {one.text: one for one in mutants(ROOT, "cncpanel/geometry/point.py")}
    crossed = by_text["return self.x * other.y - self.y * other.x => return self.x * other.y + self.y * other.x"]
    stretched = by_text[
        "return Point(self.x / length, self.y / length) => return Point(self.x / length, self.y * length)"
    ]
    try:
        assert put_in(crossed, ROOT)
        assert put_in(stretched, ROOT)
        assert Point(3, 5).cross(Point(7, 11)) == 3 * 11 + 5 * 7
        assert Point(3, 4).unit == Point(3 / 5, 4 * 5)
    finally:
        cross.__code__, unit.__code__ = codes
    assert Point(3, 5).cross(Point(7, 11)) == 3 * 11 - 5 * 7


def test_a_sample_is_no_larger_than_asked_and_the_same_again(tmp_path: Path) -> None:
    folder = tmp_path / "cncpanel" / "geometry"
    folder.mkdir(parents=True)
    (folder / "wide.py").write_text(SOURCE, "utf-8")
    assert len(sample(tmp_path, 1, 1)) == 1
    assert sample(tmp_path, 1, 2) == sample(tmp_path, 1, 9)


def test_every_explained_mutant_still_is_one() -> None:
    known = explained()
    assert [] == stale(ROOT, known)
    assert all(one.reason.strip() for one in known)
    invented = Explained(file="cncpanel/geometry/point.py", where="", text="no => such", reason="none")
    assert [invented] == stale(ROOT, [*known, invented])
