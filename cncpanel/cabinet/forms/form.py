"""From a brief to the text of a job file: the base form is chosen, wishes that it cannot meet are told."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from cncpanel.cabinet.brief import Brief, Form
from cncpanel.cabinet.forms.lectern import PEDESTAL, TABLE_TOP, lectern
from cncpanel.cabinet.forms.upright import upright
from cncpanel.cabinet.forms.wall_box import wall_box


@dataclass(frozen=True, slots=True, kw_only=True)
class BaseForm:
    """How a form's job is written, and what boards and screens it is for."""

    write: Callable[[Brief], str]
    boards: tuple[float, float]
    screens: tuple[float, float]
    sticks: bool = False


FORMS: Mapping[Form, BaseForm] = {
    "upright": BaseForm(write=upright, boards=(15, 20), screens=(12, 34), sticks=True),
    "wall box": BaseForm(write=wall_box, boards=(9, 20), screens=(9, 32)),
    "table-top": BaseForm(write=lambda brief: lectern(brief, TABLE_TOP), boards=(9, 20), screens=(9, 27)),
    "pedestal": BaseForm(write=lambda brief: lectern(brief, PEDESTAL), boards=(15, 20), screens=(9, 24)),
}


def unmet(brief: Brief) -> Iterator[tuple[str, str, str]]:
    """Wishes that the form cannot meet: the brief's key, what is wrong, what is allowed."""
    form, said = FORMS[brief.base_form], brief.base_form
    low, high = form.boards
    if not low <= brief.board.thickness <= high:
        yield "board", f"a board of {brief.board.thickness:g} is not for the {said} form", f"{low:g} to {high:g}"
    small, large = form.screens
    if not small <= brief.screen <= large:
        yield "screen", f"a {brief.screen:g} in screen is not for the {said} form", f"{small:g} to {large:g}"
    if brief.sticks and not form.sticks:
        yield "sticks", f"a stick needs a deck, and the {said} form has none", "the upright form, or buttons only"
    if brief.form is not None and brief.use == "wall" and brief.form != "wall box":
        yield "form", f"the {said} form does not hang on a wall", "wall box"
    if brief.form == "wall box" and brief.use != "wall":
        yield "form", "the wall box form hangs on a wall", 'use = "wall"'


def job_text(brief: Brief, parts_name: str) -> str:
    """The job file; `parts_name` is the catalogue file beside it."""
    return FORMS[brief.base_form].write(brief).replace("@PARTS@", parts_name)
