"""Which drum or cymbal a MIDI key stands for: as General MIDI has it, or as kits send it."""

from __future__ import annotations

from collections.abc import Hashable

from rhythms.engine import Surface
from rhythms.engine.kits.surfaces import base
from rhythms.engine.takes.hits import USUAL_KEYS
from rhythms.notation.staff_placement import PLACEMENTS

#: Of a typed file: General MIDI Level 1 as we write it, where kits send edges of cymbals. Of two
#: surfaces on one key the first.
_TYPED = USUAL_KEYS | {row.key: row.surface for row in reversed(PLACEMENTS.values())}
#: There may be several of them on a kit.
_SEVERAL = (Surface.CRASH,)


def surface_of(key: int, *, typed: bool) -> Surface | None:
    """What is struck; None for a key that is no part of a drum set."""
    return (_TYPED if typed else USUAL_KEYS).get(key)


def drum_of(key: int, *, percussion: bool = True) -> Hashable:
    """Keys of one drum, as of its head and its rim, have the same; any other key is its own."""
    surface = USUAL_KEYS.get(key) if percussion else None
    return key if surface is None or surface in _SEVERAL else base(surface)
