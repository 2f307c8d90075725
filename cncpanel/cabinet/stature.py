"""How tall people are: standing, without shoes, mm."""

from dataclasses import dataclass

SHOES = 25.0  # mm
SOURCE = "stature tables after Pheasant 1996, and 25 for shoes"
MIDDLE = ("women, median", "men, median")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stature:
    """One group's elbow, eyes, shoulder and forward grip reach."""

    who: str
    elbow: float
    eye: float
    shoulder: float
    reach: float


STATURES = (
    Stature(who="women, 5th percentile", elbow=945, eye=1420, shoulder=1224, reach=655),
    Stature(who="women, median", elbow=1021, eye=1524, shoulder=1326, reach=711),
    Stature(who="women, 95th percentile", elbow=1095, eye=1631, shoulder=1425, reach=765),
    Stature(who="men, 5th percentile", elbow=1021, eye=1595, shoulder=1331, reach=724),
    Stature(who="men, median", elbow=1105, eye=1709, shoulder=1440, reach=785),
    Stature(who="men, 95th percentile", elbow=1191, eye=1826, shoulder=1549, reach=846),
)
SEATED_EYE = (1090.0, 1190.0, 1310.0)  # mm above the floor on a 440 seat; from memory
