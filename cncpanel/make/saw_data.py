"""A saw plan as data for job.json: boards, cuts in order, parts, leftovers, bevels. Millimetres."""

from typing import Any

from cncpanel.layout.saw.plan import Bevel, Box, Cut, SawPlan, SawSheet

Data = dict[str, Any]


def saw_data(plan: SawPlan) -> Data:
    """The whole plan."""
    return {
        "saw": plan.saw.model_dump(mode="json"),
        "stocks": [
            {
                "stock": one.stock,
                "sheets": one.sheets,
                "least": one.least,
                "price": None if one.price is None else round(one.price, 4),
                "used_share": round(one.part_m2 / one.board_m2, 4),
                "steps": one.steps,
            }
            for one in plan.sawn
        ],
        "sheets": [_sheet(sheet) for sheet in plan.sheets],
        "bevels": [_bevel(bevel) for bevel in plan.bevels],
        "by_hand": [{"panel": index, "what": words} for index, words in plan.by_hand],
    }


def _sheet(sheet: SawSheet) -> Data:
    return {
        "number": sheet.number,
        "stock": sheet.stock.name,
        "size": list(sheet.stock.sheet),
        "offcut": sheet.piece or None,
        "settings": sheet.settings,
        "cuts": [_cut(cut) for cut in sheet.cuts],
        "parts": [
            {
                "piece": part.piece,
                "panel": part.name,
                "label": part.label,
                "copy": part.copy,
                "mirrored": part.mirrored_copy,
                "box": _box(part.box),
                "across": part.across,
                "to_template": part.shaped,
            }
            for part in sheet.parts
        ],
        "left_over": [{"piece": left.piece, "box": _box(left.box)} for left in sheet.leftovers],
    }


def _cut(cut: Cut) -> Data:
    return {
        "number": cut.number,
        "stage": cut.stage,
        "blade_along": cut.axis,
        "guide": cut.guide,
        "edge": cut.edge,
        "setting": round(cut.setting, 4),
        "piece": cut.piece,
        "kept": cut.kept,
        "freed": cut.freed,
    }


def _bevel(bevel: Bevel) -> Data:
    return {
        "panel": bevel.panel,
        "side": bevel.side,
        "tilt_deg": bevel.tilt_deg,
        "face": bevel.face,
        "long_point": round(bevel.long, 4),
        "at_the_table": round(bevel.short, 4),
        "guide": bevel.guide,
        "passes": bevel.passes,
    }


def _box(box: Box) -> list[float]:
    """Left, low, right, high."""
    return [round(side, 4) for side in box]
