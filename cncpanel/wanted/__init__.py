"""What a sheet's programs are to make, worked out from the job's own values by a road that the maker does not take.

Outlines, corners, mirrors, turns and places are reckoned here anew; of the maker's geometry only plain values are used.
"""

from cncpanel.wanted.sheet import target, turned_target

__all__ = ["target", "turned_target"]
