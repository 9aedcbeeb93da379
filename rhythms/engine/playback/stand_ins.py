"""What is played on a kit that lacks a surface (common practice)."""

from __future__ import annotations

from collections.abc import Collection

from rhythms.engine.kits.surfaces import Surface, base

_STAND_INS: dict[Surface, tuple[Surface, ...]] = {
    Surface.HI_HAT: (Surface.RIDE, Surface.CRASH, Surface.COWBELL, Surface.FLOOR_TOM),
    Surface.RIDE: (Surface.HI_HAT, Surface.CRASH, Surface.COWBELL, Surface.FLOOR_TOM),
    Surface.RIDE_BELL: (Surface.COWBELL, Surface.HI_HAT, Surface.CRASH),
    Surface.COWBELL: (Surface.RIDE_BELL, Surface.RIDE, Surface.HI_HAT, Surface.CRASH),
    Surface.CRASH: (Surface.CHINA, Surface.SPLASH, Surface.RIDE, Surface.HI_HAT),
    Surface.SNARE: (Surface.CROSS_STICK, Surface.HIGH_TOM, Surface.MID_TOM, Surface.FLOOR_TOM),
    Surface.CROSS_STICK: (Surface.HIGH_TOM,),
    Surface.HIGH_TOM: (Surface.MID_TOM, Surface.FLOOR_TOM, Surface.SNARE),
    Surface.MID_TOM: (Surface.HIGH_TOM, Surface.FLOOR_TOM, Surface.SNARE),
    Surface.FLOOR_TOM: (Surface.MID_TOM, Surface.HIGH_TOM, Surface.SNARE),
    Surface.BASS_DRUM: (Surface.FLOOR_TOM,),
}
#: Of these a kit may list the drum or cymbal alone: whoever has it can strike it so.
_ON = {Surface.CROSS_STICK: Surface.SNARE, Surface.RIDE_BELL: Surface.RIDE}


def stand_in(wanted: Surface, there: Collection[Surface]) -> Surface | None:
    """What is played for a surface on a kit with these; None where it is silent.

    A way of striking is played as it is where its drum or cymbal is there.
    """
    if _ON.get(wanted) in there:
        return wanted
    options = (base(wanted), *_STAND_INS.get(base(wanted), ()))
    found = next((surface for surface in options if surface in there), None)
    return wanted if found == base(wanted) else found


def landing_on(surfaces: Collection[Surface]) -> tuple[Surface, ...]:
    """What is struck on *one* after the fill: crash and bass drum, or what a kit has instead."""
    wanted = (stand_in(Surface.CRASH, surfaces), stand_in(Surface.BASS_DRUM, surfaces))
    return tuple(dict.fromkeys(surface for surface in wanted if surface))
