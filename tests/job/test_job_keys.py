"""The list of keys says what the models say."""

import pytest

from cncpanel.errors import ProblemsFound
from cncpanel.job.keys import job_keys, named_tables
from cncpanel.job.model import Groove, Hole, Job, Panel, Settings, Stock


@pytest.mark.parametrize(
    ("path", "model"),
    [("panel", Panel), ("stock", Stock), ("settings", Settings), ("panel.groove", Groove), ("panel.hole", Hole)],
)
def test_every_key_of_a_table_is_listed_as_needed_or_not(path, model):
    (table,) = named_tables(path)
    assert {key.name: key.needed for key in table.keys} == {
        name: field.is_required() for name, field in model.model_fields.items()
    }


def test_tables_are_told_as_they_are_written():
    heads = [table.head for table in job_keys()]
    assert {"[[stock]]", "[[panel]]", "[[panel.groove]]", "[panel.hole.grid]", "[settings.packing]"} <= {*heads}
    assert len(heads) == len({*heads})
    named = {head.strip("[]").split(".")[0] for head in heads}
    assert named == {*Job.model_fields} - {"values"}


def test_what_a_key_takes_and_what_stands_for_it():
    (groove,) = named_tables("groove")
    keys = {key.name: key for key in groove.keys}
    assert (keys["wall"].takes, keys["wall"].default) == ('"centre" | "left" | "right"', '"centre"')
    assert (keys["clearance"].takes, keys["clearance"].default) == ("number, at least 0", "0.2")
    (panel,), (packing,) = named_tables("panel"), named_tables("packing")
    assert {key.name: key.takes for key in panel.keys}["copies"] == "whole number, at least 0, at most 200"
    assert {key.name: key.takes for key in packing.keys}["steps"].startswith("whole number, at least 0")
    assert keys["depth"].needed
    assert not keys["depth"].default


def test_an_unknown_table_is_told_with_what_is_near():
    with pytest.raises(ProblemsFound, match=r"no table 'grove' .*groove"):
        named_tables("grove")
