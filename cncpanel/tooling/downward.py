"""Feeds on the way down, from the feed of the cut."""

from math import radians, sin

from cncpanel.tooling.cut import Cut

STRAIGHT_DOWN = 1 / 3  # of the feed: a catalogue cutter's 4000 of 12 000 mm/min (E1000-H, lockdowel.odoo.com)
RAMP_MOST = 1 / 2  # of the feed, for one flute too: 25 to 50 % is common practice


def ramp_share(flutes: int) -> float:
    """Ramp feed over feed: one over the flutes ("Ramp Down = feed / number of flutes", table C); half at most."""
    return min(RAMP_MOST, 1 / flutes)


def plunge_share(flutes: int) -> float:
    """Straight-down feed over feed."""
    return min(STRAIGHT_DOWN, ramp_share(flutes))


def plunge_feed(cut: Cut, feed: float) -> float:
    """mm/min straight down, never more than Z's own feed. A drill's feed is its way down."""
    if cut.kind == "drill":
        return feed
    return min(feed * plunge_share(cut.tool.flutes), cut.machine.motion.feed_z_max)


def ramp_feed(cut: Cut, feed: float) -> float:
    """mm/min along a ramp at the machine's angle, whose descent is never more than Z's own feed."""
    if cut.kind == "drill":
        return feed
    return min(feed * ramp_share(cut.tool.flutes), ramp_cap(cut))


def ramp_cap(cut: Cut) -> float:
    """mm/min along a ramp that bring Z down at its highest feed."""
    return cut.machine.motion.feed_z_max / sin(radians(cut.machine.cutting.ramp_deg))
