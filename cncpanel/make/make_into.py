"""A job made into its folder: the whole set or nothing, and the offcuts that it is cut from kept for it."""

import os
from dataclasses import replace
from pathlib import Path

from cncpanel.make.choice import Choice
from cncpanel.make.flow import Made, Tell, make
from cncpanel.make.folder import refuse_foreign, write_folder
from cncpanel.make.keeping import given_back_on_failure, settled


def make_into(job: Path, out: Path, choice: Choice, tell: Tell) -> Made:
    """Make, prove and write; raises ProblemsFound with every mistake, and then nothing was written."""
    refuse_foreign(out)
    from cncpanel.make.files import files  # late: it loads what cannot start in a folder that is gone

    made = make(job, replace(choice, folder=Path(os.path.abspath(out))), tell)
    with given_back_on_failure(made.rack, made.layout.sheets):
        tell("writing drawings and sheets")
        write_folder(out, files(made, choice))
    settled(made.rack, made.layout.sheets, passed=made.passed)
    return made
