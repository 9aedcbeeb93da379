"""A student's comfort zone: the fills and moves they keep coming back to, from what they played.

Everything here counts by time, and nothing is said that rests on fewer than ``FEWEST`` takes.

- *Different fills* is the effective number (`fills.variety`, order 1, with likeness, hands aside).
  Few takes never show all that a student has: what they do not show is estimated
  (`fills.sampled_variety`), with an interval by the jackknife over whole takes.
- *Clusters* join fills that are alike on average; the typical fill is the one most like
  the others.
- *Habits* are moves made more often than chance among what was given would have it: the fill spaces
  of the student's bars and rule sets, the fill's own for an assigned take, all for a free one.
- *Sentences* come from `traits`: a function there yields a `Trait`, which becomes a sentence where
  it is far enough above its share in samples of what was given.
"""

from rhythms.engine.comfort.playing import FEWEST, PlayedFill, Playing
from rhythms.engine.comfort.zone import Zone, comfort_zone

__all__ = ["FEWEST", "PlayedFill", "Playing", "Zone", "comfort_zone"]
