"""Cutting power, force and how far a tool bends. One specific cutting force a material: an estimate.

The beam is a lower bound: collet, shank and spindle give way as well (a published measurement found a
third to a quarter of the beam's stiffness).
"""

from math import pi

CARBIDE = 600_000.0  # N/mm2; tool grades have 550 to 640 thousand, which moves a deflection by 8 % at most
FLUTED = 0.8  # effective over nominal diameter of a fluted tool: Kops and Vo, CIRP Annals 1990


def cutting_power(removal_rate: float, cutting_force: float) -> float:
    """W from mm3/s and N/mm2. P = ap ae vf kc / 60e6 (kW), Dijet catalogue p. 551, without a drive's loss."""
    return removal_rate * cutting_force / 1000


def tangential_force(power: float, peripheral_speed_m_s: float) -> float:
    """Mean tangential force at the rim, N: power over speed."""
    return power / peripheral_speed_m_s


def deflection(force: float, length: float, diameter: float) -> float:
    """mm at the end of a round carbide cantilever: F L^3 / (3 E I), I = pi d^4 / 64 (Mitsubishi tool course)."""
    return force * length**3 / (3 * CARBIDE * _second_moment(diameter))


def tool_deflection(force: float, *, diameter: float, fluted: float, stick_out: float, shank_diameter: float) -> float:
    """mm at the tip of a tool whose fluted part (0.8 of its diameter) stands on a shank.

    The two lengths add their compliances: F / 3E (l^3 / I_flutes + (L^3 - l^3) / I_shank). Beam theory.
    """
    flutes = min(fluted, stick_out)
    shank = deflection(force, stick_out, shank_diameter) - deflection(force, flutes, shank_diameter)
    return deflection(force, flutes, FLUTED * diameter) + shank


def _second_moment(diameter: float) -> float:
    return pi * diameter**4 / 64
