"""`job.json` holds everything that was made, and agrees with the files beside it."""

import hashlib
import json
from dataclasses import replace
from typing import Any

import pytest
from drawing_samples import MACHINES, ODD, odd_sample, sample

from cncpanel.make.files import files
from cncpanel.make.flow import Made
from cncpanel.proof.finding import Finding
from cncpanel.proof.report import report_of


@pytest.fixture(params=MACHINES)
def made(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Made:
    return sample(tmp_path_factory.getbasetemp(), request.param)


def strict(data: bytes) -> dict[str, Any]:
    """JSON as the standard has it: no NaN, no Infinity, no key twice."""

    def refuse(word: str) -> None:
        raise AssertionError(f"{word} is no JSON")

    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        assert len(pairs) == len({key for key, _ in pairs})
        return dict(pairs)

    found: dict[str, Any] = json.loads(data.decode("utf-8"), parse_constant=refuse, object_pairs_hook=once)
    return found


def test_it_lists_every_other_file(made: Made) -> None:
    named = files(made)
    record = strict(named["job.json"])
    assert sorted(set(named) - {"job.json"}) == record["files"]
    assert (record["made_by"], record["verdict"], record["units"]) == ("cncpanel", "pass", "mm")


def test_each_programs_digest_is_its_files(made: Made) -> None:
    named = files(made)
    programs = [program for sheet in strict(named["job.json"])["sheets"] for program in sheet["programs"]]
    assert {name for name in named if name.startswith("programs/")} == {program["file"] for program in programs}
    for program in programs:
        assert program["written"] is True
        assert hashlib.sha256(named[program["file"]]).hexdigest() == program["sha256"]


def test_each_tools_load_is_told_and_shown(made: Made) -> None:
    named = files(made)
    for data in strict(named["job.json"])["sheets"]:
        loads = data["loads"]
        assert {load["tool"] for load in loads} == {c["tool"] for c in data["cutting"]}
        by_hand = made.machine.spindle.control == "hand"  # its speed is not known to the witness
        assert {load["measure"] for load in loads} >= ({"engagement"} if by_hand else {"power", "engagement"})
        assert all(sum(load["seconds"]) > 0 and load["low"] <= load["high"] <= load["most"] for load in loads)
    page = named["index.html"].decode()
    assert page.count('<svg class="load"') == sum(len(data["loads"]) for data in strict(named["job.json"])["sheets"])


def test_parts_tabs_cuts_and_times_are_those_that_were_made(made: Made) -> None:
    record = strict(files(made)["job.json"])
    for sheet, data in zip(made.sheets, record["sheets"], strict=True):
        assert [part.label for part in sheet.sheet.parts] == [part["label"] for part in data["parts"]]
        assert len(sheet.runs.tabs) == len(data["tabs"]) > 0
        assert [(c.tool.number, c.kind, c.data.feed) for c in sheet.runs.cuts] == [
            (c["tool"], c["cut"], c["feed"]) for c in data["cutting"]
        ]
        assert data["cutting"]
        for written, program in zip(sheet.written, data["programs"], strict=True):
            assert round(written.time.total_s, 1) == program["time"]["seconds"]
        assert made.machine.sheet_turned == data["turned"]


def test_the_same_job_gives_the_same_bytes_of_every_file(made: Made) -> None:
    assert files(made) == files(made)


@pytest.mark.parametrize("name", ODD)
def test_odd_names_are_kept_as_they_are(name: str, tmp_path_factory: pytest.TempPathFactory) -> None:
    made = odd_sample(tmp_path_factory.getbasetemp(), name)
    named = files(made)
    record = strict(named["job.json"])
    assert name == record["job"]["name"] == record["job"]["note"] == record["panels"][0]["name"]
    assert all(file.isascii() and ".." not in file and " " not in file for file in named)


def test_a_failed_proof_leaves_no_program_and_says_why(made: Made) -> None:
    finding = Finding(
        kind="gouge",
        severity="error",
        program="sample-sheet1-run1of1",
        line=7,
        text="0.5 mm into board",
        x=1.0,
        y=None,
        z=None,
    )
    failed = replace(made, sheets=tuple(replace(s, report=report_of([finding], {})) for s in made.sheets))
    named = files(failed)
    record = strict(named["job.json"])
    assert [name for name in named if name.startswith("programs/")] == []
    assert record["verdict"] == "fail"
    assert list({p["written"] for s in record["sheets"] for p in s["programs"]}) == [False]
    assert "0.5 mm into board" in named["index.html"].decode()
    assert "Not proven: no program was written. Do not cut." in named["index.html"].decode()
