"""What may not stand on a line while cutter radius compensation is on: NISTIR 6556 section 3.5.10 and appendix B.

The compensated way itself is not simulated, and said so; these rules need no geometry.
"""

from cncpanel.proof.modal import CYCLES, G_GROUP, g_name
from cncpanel.proof.record import Record
from cncpanel.proof.rules import acting_motion
from cncpanel.proof.words import Block

OFF, ON = 400, (410, 420)
_NEVER = frozenset({100, 200, 210, 280, 300, 382, 530, 920, 921, 922, 923})
_PLANES = {170: "xy", 180: "xz", 190: "yz"}


def compensate(record: Record, block: Block) -> None:
    """Tell what the line may not do, and note whether compensation is on after it."""
    modes = record.modes
    plane = next((_PLANES[code] for code in block.g if code in _PLANES), modes.plane)
    asked = next((code for code in block.g if code in ON), None)
    if asked is not None and modes.compensated:
        _tell(record, asked, "while it is on: G40 first")
    elif asked is not None and plane != "xy":
        _tell(record, asked, f"in the {plane.upper()} plane, and it works in XY alone")
    if modes.compensated:
        for code in block.g:
            if code in _NEVER or G_GROUP.get(code) == "work system" or (code in _PLANES and plane != modes.plane):
                _tell(record, code, "while it is on")
        acting = acting_motion(block, modes.motion)
        if acting in CYCLES:
            _tell(record, acting, "while it is on")
    if asked is not None or OFF in block.g:
        modes.compensated = asked is not None


def _tell(record: Record, code: int, why: str) -> None:
    record.find("compensation", f"{g_name(code)} with cutter radius compensation {why}", words=f"g{code}")
