"""The modal groups of RS-274/NGC. G codes are kept times ten (G59.1 is 591). Source: NISTIR 6556, table 4."""

_G_MEMBERS: dict[str, tuple[int, ...]] = {
    "motion": (0, 10, 20, 30, 382, 800, 810, 820, 830, 840, 850, 860, 870, 880, 890),
    "plane": (170, 180, 190),
    "distance": (900, 910),
    "feed mode": (930, 940),
    "units": (200, 210),
    "cutter radius": (400, 410, 420),
    "tool length": (430, 490),
    "cycle return": (980, 990),
    "work system": (540, 550, 560, 570, 580, 590, 591, 592, 593),
    "path": (610, 611, 640),
    "non-modal": (40, 100, 280, 300, 530, 920, 921, 922, 923),
}
_M_MEMBERS: dict[str, tuple[int, ...]] = {
    "stop": (0, 1, 2, 30, 60),
    "tool change": (6,),
    "spindle": (3, 4, 5),
    "coolant": (7, 8, 9),
    "overrides": (48, 49),
}
G_GROUP = {code: group for group, codes in _G_MEMBERS.items() for code in codes}
M_GROUP = {code: group for group, codes in _M_MEMBERS.items() for code in codes}
CYCLES = frozenset(range(810, 900, 10))
MOVING = frozenset({0, 10, 20, 30, 382}) | CYCLES  # motion codes that need an axis word
NON_MODAL_AXES = frozenset({100, 280, 300, 920})  # group 0 codes that take axis words
AXES = "xyzabc"


def g_name(code: int) -> str:
    """As written in a program: 591 -> G59.1."""
    return f"G{code // 10}" + (f".{code % 10}" if code % 10 else "")
