"""What stays under a recess: floors are judged by the thinnest reading of the stock."""

from collections.abc import Sequence

from cncpanel.panel.draft import Draft
from cncpanel.panel.pocket import Pocket


def judge_depths(pockets: Sequence[Pocket], draft: Draft) -> None:
    """Tell recesses that come through, or whose floor is thinner than the job allows."""
    for pocket in pockets:
        _judge(pocket, draft)


def _judge(pocket: Pocket, draft: Draft) -> None:
    stock, least, told = draft.stock, draft.settings.least_floor, pocket.subject.length
    keys = ("counterbore", "depth") if pocket.kind == "counterbore" else ("depth",)
    said = f"{'counterbore ' if pocket.kind == 'counterbore' else ''}depth {told(pocket.depth)}"
    left = stock.thinnest - pocket.depth
    if left <= 0:
        text = f"{said} is more than the stock has: {stock.name} is {told(stock.thinnest)} at its thinnest reading"
        pocket.subject.problem(text, f"at most {told(max(stock.thinnest - least, 0))}", *keys)
    elif left < least - 1e-9:
        text = f"{said} leaves a floor of {told(left)} at the thinnest reading of {stock.name}, {told(stock.thinnest)}"
        pocket.subject.problem(text, f"at least {told(least)}, settings.least_floor", *keys)
