"""The reader's short road and its full one make the same of any program: moves, events, findings, columns and all."""

from hypothesis import example, given
from hypothesis import strategies as st

from cncpanel.proof.control import Control
from cncpanel.proof.reader import read

HEADS = ("G17 G21 G90 G94 G61", "G17 G20 G90 G94 G61", "G17 G21 G91 G94", "G18 G21 G90 G93", "%", "")
START = "G17 G21 G90 G94\nG0 X0 Y0 Z5\nG1 Z-1 F600\n"
numbers = st.one_of(
    st.integers(-40, 40).map(str),
    st.decimals(-300, 300, places=4).map(str),
    st.sampled_from(("5.", ".25", "+7", "-.5", "0", "1e3", "100001", "-200000", "1.2.3", "", "-0", "007", "5 5")),
)
words = st.builds(
    lambda letter, gap, number: f"{letter}{gap}{number}",
    st.sampled_from("XYZIJF" * 5 + "xzfjRKGMNPL"),
    st.sampled_from(("",) * 9 + (" ",)),
    numbers,
)
codes = st.sampled_from(
    ("", "", "G0", "G1", "G1", "G01", "g1", "G2", "G3", "G00", "G02", "G0 1", "G1.0", "G10", "G 3", "G4")
)
plain = st.builds(
    lambda code, gap, found: gap.join((code, *found)),
    codes,
    st.sampled_from(("", " ", " ", "  ", "\t")),
    st.lists(words, max_size=5),
)
in_order = st.builds(
    lambda code, x, y, i, feed: f"{code} X{x} Y{y}{i}{feed}",
    codes,
    st.integers(-9, 9),
    st.integers(-9, 9),
    st.sampled_from(("", "", "", " I5 J0", " I-5 J0", " I0 J5", " I3", " R9")),
    st.sampled_from(("", "", " F900", " F0", " F-1")),
)
others = st.sampled_from(
    (
        "G91", "G90", "G93", "G94", "G20", "G21", "G18", "G17", "G19", "M3 S9000", "M5", "G92 X1 Y2", "G92.1", "T2 M6",
        "(X1 Y2)", "G1 (in the middle) X5", "/G1 X3", "N10 G1 X4", "#1=2", "X#1", "G81 X1 Y1 Z-2 R1", "X4 Y4", "G80",
        "G53 G0 Z0", "G43 H2", "G49", "G55", "G54", "M0", "M2", "%", "G40", "G4 P1", "X" + "0" * 300, "G1 X1\r",
        "\u00b2",
    )
)  # fmt: skip
programs = st.builds(
    lambda head, begun, lines: "\n".join((head, *begun, *lines)),
    st.sampled_from(HEADS),
    st.sampled_from(((), ("G0 X0 Y0 Z5", "G1 Z-1 F600"))),
    st.lists(st.one_of(plain, in_order, in_order, others), max_size=25),
)
controls = st.sampled_from(
    (
        Control(),
        Control(machine_zero=(-10.0, -20.0, -130.0), work_system=540),
        Control(lacks=frozenset(("G2", "N", "J"))),
        Control(lacks=frozenset(("N", "#", "/"))),
    )
)


@given(programs, controls)
@example(f"{START}G92 X7 Y-3\nG1 X1 Y1\nG92.1\nG1 X2", Control())
@example(f"{START}G81 X1 Y1 Z-2 R1\nG1 X5\nG81 X3", Control())
@example(f"{START}G1 X5\nG3 X10 Y0 I5 J0\nG0 X0", Control(lacks=frozenset(("G0", "G3", "X"))))
@example("G2 X1 Y1 I5\n%\nG1 X4\n%\nG1 X5", Control())
@example(
    "G21 G90 G94 G17\nG0 X0 Y0 Z5\nG1 Z-1 F600\nG3 X10 Y0 I5 J0\nX20 I5\nG2 X0 I-10 J0\nF900\nX1\nM2\nX5", Control()
)
def test_both_roads_make_the_same_of_a_program(text: str, control: Control) -> None:
    short, full = (read(text, control, short_road=road) for road in (True, False))
    assert repr(full.moves) == repr(short.moves)  # as text, for a place that is not known is not equal to itself
    assert repr(full.events) == repr(short.events)
    assert full.findings == short.findings
    assert full.dropped == short.dropped
