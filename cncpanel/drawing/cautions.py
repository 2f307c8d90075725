"""What can hurt somebody at the router and the bench, in the words of the usual shop rules; local codes rule."""

from cncpanel.machine.model import Machine

LIFT_ALONE = 23.0  # kg; the NIOSH lifting equation's load constant (51 lb), in the ideal case


def router_cautions(machine: Machine, sheet_mass: float) -> tuple[str, ...]:
    """Dust, hearing, ejection, lifting, starting: for the set-up page."""
    back = "2-3 mm" if machine.dialect.unit == "mm" else "1/8 in"
    points = [
        "Dust: extraction on before the spindle, vacuum instead of sweeping or blowing, FFP3 mask when close. "
        "Check the national wood-dust limit.",
        "Fire: a bit that rubs makes embers that reach the dust collector. Look after stopping; never leave the "
        "machine unattended.",
        "Hearing and eyes: routers run above 85 dB(A). Ear defenders and safety glasses.",
        f"Thrown tools and parts: sound bit, shank fully in and {back} back, set rpm no higher than marked on the "
        "bit, guards shut, nobody in line with the cut, hands out while it turns, emergency stop in reach.",
    ]
    if sheet_mass > LIFT_ALONE:
        points.append(
            f"Lifting: the sheet weighs about {sheet_mass:.0f} kg. Two people on its long edge, or a panel cart."
        )
    if machine.spindle.control == "hand":
        points.append("The spindle is switched by hand: on and off only at the program's stops.")
    points.append(
        "Run the frame program first, then the dry run, spindle off, and watch them clear every clamp and screw. Local "
        "safety rules and the machine maker's manual come before this sheet."
    )
    return tuple(points)
