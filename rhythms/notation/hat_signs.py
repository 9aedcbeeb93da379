"""The signs above a hi-hat: o where it is struck open, + where it is struck closed after that.

A hi-hat without a sign is closed (common practice): + stands only where it was open before, and
not where the foot has closed it meanwhile, which has a note of its own.
"""

from __future__ import annotations

from rhythms.engine import Fill, Surface
from rhythms.engine.fills.fill import Hit
from rhythms.engine.kits.surfaces import base
from rhythms.notation.staff_placement import PLACEMENTS

CLOSED = "closed"
_HATS = (Surface.HI_HAT, Surface.OPEN_HI_HAT, Surface.HALF_OPEN_HI_HAT, Surface.HI_HAT_FOOT)


def sign_of(hit: Hit, sign: str) -> str:
    """The ``sign`` of a stroke where ``hit`` is the one that has it, "" for any other."""
    return sign if base(hit.surface) is Surface.HI_HAT else ""


def hat_signs(fill: Fill) -> tuple[str, ...]:
    """The sign of each stroke: OPEN, HALF_OPEN, CLOSED, or "" for none."""
    feet = [hit.onset for hit in fill.going_on if hit.surface is Surface.HI_HAT_FOOT]
    signs, opened_at = [], None
    for note, stroke in zip(fill.bar.sounded, fill.strokes, strict=True):
        hats = [surface for surface in stroke.surfaces if surface in _HATS]
        sign = next((sign for hat in hats if (sign := PLACEMENTS[hat].sign)), "")
        is_open = opened_at is not None and not any(opened_at < at < note.onset for at in feet)
        closes = is_open and Surface.HI_HAT in hats
        signs.append(sign or (CLOSED if closes else ""))
        if hats:
            opened_at = note.onset if sign else None
    return tuple(signs)
