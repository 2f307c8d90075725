"""Which words and codes may stand together on a line: the checklist of NISTIR 6556, before a line is run.

Every broken rule is noted on the block, so that one line can tell several.
"""

from cncpanel.proof.expression import whole
from cncpanel.proof.modal import AXES, CYCLES, G_GROUP, M_GROUP, MOVING, NON_MODAL_AXES, g_name
from cncpanel.proof.words import Block

_NEVER_NEGATIVE = {
    "d": "radius index",
    "f": "feed",
    "h": "length index",
    "l": "count",
    "p": "P",
    "s": "spindle speed",
    "t": "tool number",
}
_WHOLE = {"d": "D", "h": "H", "l": "L", "t": "T"}
_DWELLING = frozenset({40, 820, 860, 880, 890})
_ARCS = frozenset({20, 30})
_PLAIN: dict[int | None, frozenset[str]] = {
    0: frozenset("xyzf"),
    10: frozenset("xyzf"),
    20: frozenset("xyzfij"),
    30: frozenset("xyzfij"),
}


def judge(block: Block, motion: int | None, *, path_p: bool = False) -> None:
    """Note every rule that the line breaks. `motion`: the motion mode in force before it.

    `path_p`: whether the control reads P with G64 (this dialect does not).
    """
    if _is_plain(block, motion):
        return
    judge_codes(block)
    _numbers(block)
    acting = acting_motion(block, motion)
    _axes(block, motion)
    _lonely_words(block, acting, path_p)
    _missing(block)


def _is_plain(block: Block, motion: int | None) -> bool:
    """Whether it is a move with its own words and nothing else, as most lines are: no rule can be broken."""
    if block.m or len(block.g) > 1:
        return False
    words = _PLAIN.get(block.g[0] if block.g else motion)
    values = block.values
    return (
        words is not None
        and values.keys() <= words
        and ("x" in values or "y" in values or "z" in values)
        and values.get("f", 0.0) >= 0
    )


def has_axes(block: Block) -> bool:
    """Whether any axis word is on the line."""
    return any(axis in block.values for axis in AXES)


def acting_motion(block: Block, motion: int | None) -> int | None:
    """The motion code for this line's axis words; None where a code of group 0 takes them or none is in force."""
    for code in block.g:
        if G_GROUP.get(code) == "motion":
            return code
    if any(code in NON_MODAL_AXES for code in block.g):
        return None
    return motion if has_axes(block) else None


def judge_codes(block: Block) -> None:
    """Unknown codes, and two of one modal group."""
    for codes, groups, letter in ((block.g, G_GROUP, "g"), (block.m, M_GROUP, "m")):
        seen: dict[str, int] = {}
        for code in codes:
            name = g_name(code) if letter == "g" else f"M{code}"
            if code not in groups:
                block.fault("unknown-code", f"{name} is not known", f"{letter}{code}")
            elif groups[code] in seen:
                block.fault(
                    "group-clash",
                    f"{name}: two {letter.upper()} codes of one group ({groups[code]})",
                    f"{letter}{code}",
                )
            else:
                seen[groups[code]] = code
    if len(block.m) > 4:
        block.fault("too-many-m", f"{len(block.m)} M codes on one line (at most 4)", f"m{block.m[4]}")


def _numbers(block: Block) -> None:
    for letter, name in _NEVER_NEGATIVE.items():
        if block.values.get(letter, 0.0) < 0:
            block.fault("negative-word", f"a negative {name}", letter)
    for letter, name in _WHOLE.items():
        if letter in block.values and whole(block.values[letter]) is None:
            block.fault("not-whole", f"{name} is not a whole number", letter)
    if block.values.get("q", 1.0) <= 0:
        block.fault("negative-word", "a Q of zero or less", "q")
    if whole(block.values.get("l", 1.0)) == 0:
        block.fault("zero-repeats", "a cycle repeated no times", "l")


def _axes(block: Block, motion: int | None) -> None:
    """Axis words without a user, with two users, or missing."""
    users = [code for code in block.g if code in NON_MODAL_AXES and code != 100]
    explicit = [code for code in block.g if G_GROUP.get(code) == "motion"]
    moving = [code for code in explicit if code in MOVING]
    if 100 in block.g:
        users.append(100)
    if has_axes(block):
        if 800 in explicit and not users:
            block.fault("axis-with-g80", "axis words with G80", "g800")
        if users and moving:
            block.fault(
                "two-axis-users",
                f"{g_name(users[0])} and {g_name(moving[0])} both take axis words",
                f"g{users[0]}",
            )
        if not explicit and not users and motion in (None, 800):
            first = min((axis for axis in AXES if axis in block.values), key=lambda axis: block.columns.get(axis, 0))
            block.fault("axis-unused", "axis words, but no motion is in force", first)
        return
    for code in moving:
        block.fault("axis-missing", f"{g_name(code)} without an axis word", f"g{code}")
    if 920 in block.g:
        block.fault("axis-missing", "G92 without an axis word", "g920")


def _lonely_words(block: Block, acting: int | None, path_p: bool) -> None:
    """Words that no code on the line uses."""
    cycle = acting in CYCLES
    allowed = {
        "d": any(code in (410, 420) for code in block.g),
        "h": 430 in block.g,
        "i": acting in _ARCS or acting == 870,
        "j": acting in _ARCS or acting == 870,
        "k": acting in _ARCS or acting == 870,
        "l": cycle or 100 in block.g,
        "p": bool(_DWELLING.intersection((*block.g, acting))) or 100 in block.g or (path_p and 640 in block.g),
        "q": acting == 830,
        "r": acting in _ARCS or cycle,
    }
    for letter, used in allowed.items():
        if letter in block.values and not used:
            block.fault("word-unused", f"{letter.upper()}, but nothing on the line uses it", letter)


def _missing(block: Block) -> None:
    if 40 in block.g and "p" not in block.values:
        block.fault("dwell-missing", "G4 without P", "g40")
    if 430 in block.g and "h" not in block.values:
        block.fault("offset-missing", "G43 without H", "g430")
    if 100 in block.g:
        _g10(block)


def _g10(block: Block) -> None:
    if whole(block.values.get("l", 0.0)) != 2:
        block.fault("g10", "G10 without L2", "g100")
    system = whole(block.values.get("p", 0.0))
    if system is None or not 1 <= system <= 9:
        block.fault("g10", "G10 L2 needs P1 to P9", "g100")
