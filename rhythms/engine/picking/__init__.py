"""Picking fills that are new to a student and still fills.

- `pick_space`: the space as the prior plays it, kept for the next pick;
- `candidates`: fills drawn by the prior, within reach at the tempo; `pick_work`: how many;
- `drawn_fills`: each of them by its number, and how plausible it is; `kept_likeness` between them;
- `choice`: which of them are taken: unlike the known, unlike each other, plausible;
- `ease`: how easy a fill is for a student, against what they hold;
- `picks`: what is handed out, and what speaks for it.
"""

from rhythms.engine.picking.choice import HISTORY, Ended
from rhythms.engine.picking.ease import Held
from rhythms.engine.picking.picks import Picked, Picks, appraise, pick

__all__ = ["HISTORY", "Ended", "Held", "Picked", "Picks", "appraise", "pick"]
