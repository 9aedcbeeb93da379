"""What is played on a kit that lacks a surface (common practice)."""

from __future__ import annotations

from collections.abc import Collection

from rhythms.engine.kits.surfaces import FEET, Surface, base

_STAND_INS: dict[Surface, tuple[Surface, ...]] = {
    Surface.HI_HAT: (Surface.RIDE, Surface.CRASH, Surface.COWBELL, Surface.FLOOR_TOM),
    Surface.RIDE: (Surface.HI_HAT, Surface.CRASH, Surface.COWBELL, Surface.FLOOR_TOM),
    Surface.RIDE_BELL: (Surface.COWBELL, Surface.HI_HAT, Surface.CRASH),
    Surface.COWBELL: (Surface.RIDE_BELL, Surface.RIDE, Surface.HI_HAT, Surface.CRASH),
    Surface.CRASH: (Surface.RIDE, Surface.CHINA, Surface.SPLASH, Surface.HI_HAT),
    Surface.SNARE: (Surface.CROSS_STICK, Surface.HIGH_TOM, Surface.MID_TOM, Surface.FLOOR_TOM),
    Surface.CROSS_STICK: (Surface.HIGH_TOM,),
    Surface.HIGH_TOM: (Surface.MID_TOM, Surface.FLOOR_TOM, Surface.SNARE),
    Surface.MID_TOM: (Surface.HIGH_TOM, Surface.FLOOR_TOM, Surface.SNARE),
    Surface.FLOOR_TOM: (Surface.MID_TOM, Surface.HIGH_TOM, Surface.SNARE),
    Surface.BASS_DRUM: (Surface.FLOOR_TOM,),
}
#: Of these a kit may list the drum or cymbal alone: whoever has it can strike it so.
_ON = {Surface.CROSS_STICK: Surface.SNARE, Surface.RIDE_BELL: Surface.RIDE}
#: Cymbals that a fill ends on by their name.
_LANDED_ON = (Surface.CRASH, Surface.RIDE, Surface.CHINA, Surface.SPLASH)


def stand_in(wanted: Surface, there: Collection[Surface]) -> Surface | None:
    """What is played for a surface on a kit with these; None where it is silent.

    A way of striking is played as it is where its drum or cymbal is there.
    """
    if _ON.get(wanted) in there:
        return wanted
    options = (base(wanted), *_STAND_INS.get(base(wanted), ()))
    found = next((surface for surface in options if surface in there), None)
    return wanted if found == base(wanted) else found


def can_strike(wanted: Surface, there: Collection[Surface]) -> bool:
    """Whether a kit with these has it, or has what this way of striking is played on."""
    on = _ON.get(wanted) or base(wanted)
    return wanted in there or on in there


def landing_on(surfaces: Collection[Surface]) -> tuple[Surface, ...]:
    """What is struck on *one* after the fill, the accented one first: crash and bass drum.

    Without a crash the ride is crashed, then china or splash (common practice); where there is no
    such cymbal, whatever the hands have there is accented.
    """
    there = [surface for surface in Surface if surface in surfaces]
    hands = [surface for surface in there if surface not in FEET]
    loudest = stand_in(Surface.CRASH, surfaces) or next(iter(hands), None)
    wanted = (loudest, stand_in(Surface.BASS_DRUM, surfaces))
    return tuple(dict.fromkeys(surface for surface in wanted if surface))


def landing_in_words(surfaces: Collection[Surface]) -> str:
    """``the crash``, ``the ride``, or ``an accent`` on a kit without such a cymbal: on *one*."""
    loudest = next(iter(landing_on(surfaces)), None)
    return f"the {loudest}" if loudest in _LANDED_ON else "an accent"
