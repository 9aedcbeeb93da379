"""A student's comfort zone: the fills and moves they keep coming back to, from what they played.

Everything here counts by time, and nothing is said that rests on fewer than ``FEWEST`` takes.
"""

from rhythms.engine.comfort.playing import FEWEST, PlayedFill, Playing
from rhythms.engine.comfort.zone import Zone, comfort_zone

__all__ = ["FEWEST", "PlayedFill", "Playing", "Zone", "comfort_zone"]
