"""A student's comfort zone: the fills and moves they keep coming back to, from what they played.

Nothing is said that rests on fewer than ``FEWEST`` takes. Takes count alike, however long they are;
only favourites are shares of the time.

- *Different fills* is the effective number (`fills.variety`, order 1, with likeness, hands aside).
  Few takes never show all that a student has: what they do not show is estimated
  (`fills.sampled_variety`), with an interval by the jackknife over whole takes.
- *Clusters* join fills that are alike on average; the typical fill is the one most like
  the others.
- *Facts* stand beside people. `traits` says what a fill has or has not, `amounts` what it has some
  of, `trait_table` how much of each a student does in what they played of their own. `facts` holds
  that against drummers (`people`, learned by `manage.py learn_people`) and against the studio, and
  says what is further off than luck explains (`trait_tests`) and can be heard. What the rhythms
  make of it (`rhythm_chances`: the prior on them), or what was given (`expectation`), is no fact.
- *Habits* are moves made more often than that. `one_change` and `way_out_wish` lead out of them.
- *Sentences* are facts in a teacher's words (`fact_words`), one of each kind.
"""

from rhythms.engine.comfort.playing import FEWEST, PlayedFill, Playing
from rhythms.engine.comfort.zone import Zone, comfort_zone

__all__ = ["FEWEST", "PlayedFill", "Playing", "Zone", "comfort_zone"]
