"""Picking fills that are new to a student and still fills.

- `candidates`: fills drawn by the prior, within reach at the tempo, and how plausible each is;
- `choice`: which of them are taken: unlike the known, unlike each other, plausible;
- `picks`: what is handed out, and what speaks for it.
"""

from rhythms.engine.picking.choice import HISTORY, Ended
from rhythms.engine.picking.picks import Picked, Picks, appraise, pick

__all__ = ["HISTORY", "Ended", "Picked", "Picks", "appraise", "pick"]
