"""Surfaces and their families."""

from __future__ import annotations

from enum import StrEnum
from functools import lru_cache


class Surface(StrEnum):
    """Something a stick or foot strikes; the value is its name in code, JSON and pages."""

    SNARE = "snare"
    HIGH_TOM = "high tom"
    MID_TOM = "mid tom"
    FLOOR_TOM = "floor tom"
    HI_HAT = "hi-hat"
    RIDE = "ride"
    RIDE_BELL = "ride bell"
    CRASH = "crash"
    SPLASH = "splash"
    CHINA = "china"
    COWBELL = "cowbell"
    CROSS_STICK = "cross-stick"
    BASS_DRUM = "bass drum"
    HI_HAT_FOOT = "hi-hat foot"
    OPEN_HI_HAT = "open hi-hat"
    HALF_OPEN_HI_HAT = "half-open hi-hat"
    RIM_SHOT = "rim shot"
    STICKS = "stick on stick"

    # Strokes are looked up by the hundred thousand; that of enums is worked out in Python.
    __hash__ = str.__hash__


#: The place of each in the one order that numbers fills.
RANK = {surface: rank for rank, surface in enumerate(Surface)}
#: Struck by a foot: the right plays the bass drum, the left the hi-hat; mirrored if left-handed.
FEET = (Surface.BASS_DRUM, Surface.HI_HAT_FOOT)

#: Struck without ornament: by a foot, or by both hands as it is.
PLAIN = (*FEET, Surface.STICKS)

#: Ways of striking, each with what it is played on; None where it needs nothing of the kit. A kit
#: does not list them: it has those whose drum or cymbal it has.
WAYS: dict[Surface, Surface | None] = {
    Surface.OPEN_HI_HAT: Surface.HI_HAT,
    Surface.HALF_OPEN_HI_HAT: Surface.HI_HAT,
    Surface.RIM_SHOT: Surface.SNARE,
    Surface.STICKS: None,
}
#: Struck while the hi-hat is not shut: its foot closes it.
OPEN_HATS = frozenset((Surface.OPEN_HI_HAT, Surface.HALF_OPEN_HI_HAT))
#: What a kit may list, in the order that numbers fills.
KIT_SURFACES = tuple(surface for surface in Surface if surface not in WAYS)

#: Families a rule may name. "anything" is not among them: it is all hand surfaces of a kit.
FAMILIES: dict[str, tuple[Surface, ...]] = {
    "toms": (Surface.HIGH_TOM, Surface.MID_TOM, Surface.FLOOR_TOM),
    "cymbals": (Surface.HI_HAT, Surface.RIDE, Surface.CRASH, Surface.SPLASH, Surface.CHINA),
    "bells": (Surface.RIDE_BELL, Surface.COWBELL),
}
ANYTHING = "anything"
ANYTHING_BUT = "anything but"

_FAMILY_OF = {
    **{surface: name for name, members in FAMILIES.items() for surface in members},
    **dict.fromkeys((Surface.SNARE, Surface.CROSS_STICK), "snare"),
    **dict.fromkeys(FEET, "feet"),
    Surface.STICKS: "sticks",
}


#: What drummers call what is stored under an older name.
CALLED = {Surface.CROSS_STICK: "rim click"}


@lru_cache(maxsize=256)
def called(name: str) -> str:
    """What drummers call a surface; the name of a family as it is."""
    return CALLED.get(Surface(name), str(name)) if name in tuple(Surface) else str(name)


def base(surface: Surface) -> Surface:
    """The drum or cymbal that is struck: that of a way of striking, else the surface itself."""
    return WAYS.get(surface) or surface


def family(surface: Surface) -> str:
    """The family of what is struck: snare, toms, cymbals, bells, feet or sticks."""
    return _FAMILY_OF[base(surface)]
