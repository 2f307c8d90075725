"""Shared by all tests: where outside data lies, how hypothesis searches, the fixtures' folders."""

import os
from pathlib import Path

import pytest
from hypothesis import settings
from law_examples import TIMES, examples

ROOT = Path(__file__).resolve().parent.parent
settings.register_profile("quick", deadline=None, derandomize=True, max_examples=60)
settings.register_profile("long", deadline=None, max_examples=examples(60))
settings.load_profile("quick" if TIMES == 1 else "long")


@pytest.fixture(scope="session")
def fixtures() -> Path:
    """The folder of jobs and programs that the project ships for its tests."""
    return ROOT / "fixtures"


@pytest.fixture(scope="session")
def outside_data() -> Path:
    """Data that nobody on this project drew; the test is skipped where there is none."""
    folder = Path(os.environ.get("CNCPANEL_DATA", ROOT.parent / "shared" / "data"))
    if not folder.is_dir():
        pytest.skip(f"no outside data at {folder}: set CNCPANEL_DATA")
    return folder
