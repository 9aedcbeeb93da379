"""What a groove is called on a kit that lacks what its name speaks of."""

from __future__ import annotations

import re
from collections.abc import Collection

from rhythms.engine.kits.surfaces import WAYS, Surface, called
from rhythms.engine.playback.stand_ins import can_strike, stand_in

#: The longest first, so that an open hi-hat is not read as a hi-hat.
_SAID = sorted(
    {word: surface for surface in Surface for word in (str(surface), called(surface))}.items(),
    key=lambda pair: -len(pair[0]),
)
_NAMED = re.compile(
    rf"(?P<how>\s*\b(?:on|with|over)\s+(?:(?:the|an|a)\s+)?)?"
    rf"\b(?P<what>{'|'.join(re.escape(word) for word, _ in _SAID)})\b",
    re.IGNORECASE,
)
_SURFACES = dict(_SAID)


def surfaces_named(name: str) -> tuple[Surface, ...]:
    """The surfaces that a text names, in order."""
    return tuple(_SURFACES[found["what"].lower()] for found in _NAMED.finditer(name))


def groove_name_on(name: str, surfaces: Collection[Surface]) -> str:
    """``rock on the hi-hat`` for ``rock on the ride`` on a kit without a ride; ``rock`` on a pad.

    Only a drum or cymbal is named anew, by what stands in for it; a way of striking is left out.
    A name that speaks of nothing else is ``groove``.
    """

    def renamed(found: re.Match[str]) -> str:
        wanted = _SURFACES[found["what"].lower()]
        if can_strike(wanted, surfaces):
            return found[0]
        instead = None if wanted in WAYS else stand_in(wanted, surfaces)
        on_it = instead and (found["how"] or "").split()[:1] == ["on"]
        return f"{found['how']}{called(instead)}" if on_it and instead else ""

    return " ".join(_NAMED.sub(renamed, name).split()) or "groove"
