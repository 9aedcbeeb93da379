"""A drum kit of our own, computed: every surface in three dynamics, clicks and a count-in.

Nothing is recorded. Drums are the modes of a circular membrane (`membrane`), cymbals the many modes
of a plate (`plate`), with a stick's tip or snare wires of shaped noise; a harder stroke wakes
higher partials. Hats, bell, rims and sticks are modes and noise with the levels of recorded ones,
octave by octave (`octave_shape`). `library` lists the sounds and sets them against each other by
loudness, and says what ends what: a closed hi-hat an open one. Each is an MP3 file of 1 to 30 KB
whose attack is ``OFFSET`` seconds in, at the start of an encoder's group of samples, so that
nothing is heard before it; all of them together take less than 500 KB.

They are served at ``/sounds/<version>/<name>-<dynamic>.mp3``, to be kept for ever; `manage.py
sounds` makes them beforehand. A change of any of them needs a new `SOUNDS_VERSION`. Look at
spectrograms and listen: no number tells how a drum sounds. `audio` mixes a timeline of them.
"""

from rhythms.notation.sounds.library import (
    BALANCES,
    CHOKES,
    CLICK,
    CLICK_ONE,
    COUNT_IN,
    NAMES,
    OFFSET,
    PANS,
    SOUNDS_VERSION,
    dynamics_of,
    encoded,
    samples,
    takes_of,
)
from rhythms.notation.sounds.waves import RATE, Samples

__all__ = [
    "BALANCES",
    "CHOKES",
    "CLICK",
    "CLICK_ONE",
    "COUNT_IN",
    "NAMES",
    "OFFSET",
    "PANS",
    "RATE",
    "SOUNDS_VERSION",
    "Samples",
    "dynamics_of",
    "encoded",
    "samples",
    "takes_of",
]
