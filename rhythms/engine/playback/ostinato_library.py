"""What feet are often asked to keep playing, each as it is counted, and what somebody types.

The patterns are common practice of the trade: the hi-hat foot on the backbeats, the bass drum on
every beat, and the feet of samba and baião as the library's grooves have them.
"""

from __future__ import annotations

from collections.abc import Mapping

from rhythms.engine.bars.meter import Meter
from rhythms.engine.fills.ostinato import FootHit, Ostinato, ostinato
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.playback.groove_line import read_line

FOUR_ON_THE_FLOOR = "four on the floor"

Lines = Mapping[Surface, str]

_SAMBA = {Surface.BASS_DRUM: "1 a 2 a", Surface.HI_HAT_FOOT: "(1) & (2) &"}
_BAIAO = {Surface.BASS_DRUM: "1 a (2) &", Surface.HI_HAT_FOOT: "(1) & (2) &"}

#: By name and meter, a line for each foot; what has no line in a meter is not played in it.
_LIBRARY: dict[str, dict[str, Lines]] = {
    "hi-hat foot on 2 and 4": {
        meter: {Surface.HI_HAT_FOOT: line}
        for meter, line in {"2/4": "2", "4/4": "2 4", "6/8": "4", "12/8": "4 10"}.items()
    },
    FOUR_ON_THE_FLOOR: {},
    "samba": {
        "2/4": _SAMBA,
        "4/4": {
            Surface.BASS_DRUM: "1 a 2 a 3 a 4 a",
            Surface.HI_HAT_FOOT: "(1) & (2) & (3) & (4) &",
        },
    },
    "baião": {
        "2/4": _BAIAO,
        "4/4": {
            Surface.BASS_DRUM: "1 a (2) & 3 a (4) &",
            Surface.HI_HAT_FOOT: "(1) & (2) & (3) & (4) &",
        },
    },
}
NAMES = tuple(_LIBRARY)


def ostinato_named(name: str, meter: Meter) -> Ostinato | None:
    """One of NAMES in one bar of ``meter``; None where it is not played in that meter."""
    if name == FOUR_ON_THE_FLOOR:
        beats = (FootHit(beat.onset, Surface.BASS_DRUM) for beat in meter.one_bar.beats)
        return ostinato(name, meter.one_bar, beats)
    lines = _LIBRARY[name].get(str(meter))
    return typed_ostinato(name, meter.one_bar, lines) if lines else None


def meters_of(name: str) -> tuple[str, ...]:
    """The meters that a pattern of NAMES has lines for; none where it is played in all."""
    return tuple(_LIBRARY[name])


def typed_ostinato(name: str, meter: Meter, lines: Lines) -> Ostinato:
    """What a count line for each foot says; a beat that is not counted is silent.

    Raises CountLineError with the column and what was expected there.
    """
    return ostinato(
        name,
        meter,
        (
            FootHit(hit.onset, surface, hit.dynamic)
            for surface, line in lines.items()
            for hit in read_line(line, meter)
        ),
    )
