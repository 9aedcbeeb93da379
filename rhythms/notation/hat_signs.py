"""The signs above a hi-hat: o where it is struck open, + where it is struck closed after that.

A hi-hat without a sign is closed (common practice): + stands only where it was open before, and
not where the foot has closed it meanwhile, which has a note of its own.
"""

from __future__ import annotations

from collections.abc import Iterable

from rhythms.engine import Stroke, Surface
from rhythms.engine.fills.fill import Hit
from rhythms.engine.kits.surfaces import base
from rhythms.notation.staff_placement import PLACEMENTS

CLOSED = "closed"
_HATS = (Surface.HI_HAT, Surface.OPEN_HI_HAT, Surface.HALF_OPEN_HI_HAT, Surface.HI_HAT_FOOT)


def sign_of(hit: Hit, sign: str) -> str:
    """The ``sign`` of a stroke where ``hit`` is the one that has it, "" for any other."""
    return sign if base(hit.surface) is Surface.HI_HAT else ""


def hat_signs(strokes: Iterable[Stroke]) -> tuple[str, ...]:
    """The sign of each stroke: OPEN, HALF_OPEN, CLOSED, or "" for none."""
    signs, is_open = [], False
    for stroke in strokes:
        hats = [surface for surface in stroke.surfaces if surface in _HATS]
        sign = next((sign for hat in hats if (sign := PLACEMENTS[hat].sign)), "")
        closes = is_open and Surface.HI_HAT in hats
        signs.append(sign or (CLOSED if closes else ""))
        is_open = bool(sign) if hats else is_open
    return tuple(signs)
