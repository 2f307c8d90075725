"""Slots that the programs cut: the set-up page's table and caution, no bench note, and the words on drawings."""

from paper_samples import seen

from cncpanel.drawing.measures import Measures
from cncpanel.drawing.paper import Cautions, Heading, Sentence, Table
from cncpanel.drawing.rounding import edge_words
from cncpanel.drawing.slot_list import slot_list
from cncpanel.drawing.slot_notes import slot_pieces
from cncpanel.errors import Gathering
from cncpanel.job.read import read_job
from cncpanel.machine.read import read_machine
from cncpanel.make.cut_list import listed_of
from cncpanel.operation.plan import plan
from cncpanel.panel.resolve import resolve

MM = Measures("mm", "mm")


def test_the_set_up_page_lists_every_slot_with_its_channel_and_says_never_to_lift(fixtures) -> None:
    read = read_job(fixtures / "jobs" / "ferry_counter.toml")
    panels = resolve(read, Gathering())
    plans = plan(panels, read_machine("nesting-router"), read.job.settings, Gathering())
    heading, sentence, table, cautions = slot_list(plans, MM)
    assert heading == Heading("Slots made by the programs")
    assert isinstance(sentence, Sentence)
    assert isinstance(table, Table)
    assert isinstance(cautions, Cautions)
    assert sentence.text.startswith(
        "After the walls, while tabs, a skin or the vacuum still hold the parts. Beside each"
    )
    two = "its disc, 1.6 mm thick, leaves the slot's width, 2.4 mm, in 2 heights"
    one = "its disc, 1.6 mm thick, leaves the slot's width, 1.6 mm, in one height"
    assert table.rows == (
        ("top", "edge 1", "2.4 mm, 9 mm deep", "7.8 mm to 10.2 mm", "T13", "34 mm, 10.7 mm", two),
        ("side", "edge 1", "2.4 mm, 9 mm deep", "7.8 mm to 10.2 mm", "T13", "34 mm, 10.7 mm", two),
        ("shelf", "edge 1", "1.6 mm, 9 mm deep", "9.2 mm to 10.8 mm", "T13", "34 mm, 11.3 mm", one),
    )
    told = " ".join(cautions.points)
    for words in ("never lift it", "sideways into the channel", "local rules", "marked with"):
        assert words in told
    assert slot_list([one for one in plans if not one.panel.slots], MM) == []


def test_such_a_slot_is_no_work_of_the_bench_and_drawings_say_who_cuts_it() -> None:
    panel = seen("ferry_counter", "top").panel
    assert slot_pieces([panel], MM) == []
    assert panel.bench == ()
    (rim,) = panel.rims
    assert edge_words(rim, "mm") == "slot 2.4 mm x 9 mm deep for T-moulding, mid-thickness, cut on the machine"
    (by_hand,) = [one for one in seen("rounded_tray", "stand board").panel.rims if one.bench]
    assert not edge_words(by_hand, "mm").endswith("machine")


def test_the_cut_list_says_so(fixtures) -> None:
    read = read_job(fixtures / "jobs" / "ferry_counter.toml")
    rows = listed_of(read, resolve(read, Gathering()))
    assert any("for T-moulding, in mid-thickness, by the machine" in str(row) for row in rows)
