"""Stickings that can be laid over a run of even notes.

Letters after the Percussive Arts Society's International Drum Rudiments (roll and diddle
families); rotations and "as even notes" are common practice, not part of that list.
"""

from __future__ import annotations

#: Name in the JSON form -> one full cycle from the right hand.
OVERLAYS: dict[str, str] = {
    "single stroke roll": "RL",
    "double stroke roll": "RRLL",
    "single paradiddle": "RLRRLRLL",
    "double paradiddle": "RLRLRRLRLRLL",
    "triple paradiddle": "RLRLRLRRLRLRLRLL",
    "paradiddle-diddle": "RLRRLL",
    "paradiddle rotation 2": "RRLRLLRL",
    "paradiddle rotation 3": "RLRLLRLR",
    "paradiddle rotation 5": "RLLRLRRL",
    "six stroke roll as even notes": "RLLRRL",
    "triple stroke roll as even notes": "RRRLLL",
}
#: The accented letters of a cycle, counted from 0, as the same sheet has them; none of the others.
ACCENTS: dict[str, frozenset[int]] = {
    "single paradiddle": frozenset({0, 4}),
    "double paradiddle": frozenset({0, 6}),
    "triple paradiddle": frozenset({0, 8}),
    "paradiddle-diddle": frozenset({0}),
    "six stroke roll as even notes": frozenset({0, 5}),
}
_SWAP = str.maketrans("RL", "LR")


def cycle(rudiment: str, lead: str) -> str:
    """One cycle of an overlay from ``lead`` ("R" or "L"): the left-hand form swaps every letter."""
    letters = OVERLAYS[rudiment]
    return letters if letters[0] == lead else letters.translate(_SWAP)
