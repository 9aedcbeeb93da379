"""A drum kit of our own, computed: every surface in three dynamics, clicks and a count-in.

Nothing is recorded. Drums are the modes of circular membranes (`membrane`) with the noise of shell,
wires and stick about them; cymbals, hats, rims and that noise are modes and noise with levels of
recorded ones, octave by octave (`octave_shape`). What is struck often has three takes, and no two
strokes in a row are the same. `library` lists the sounds and sets them against each other by
loudness, rounds off their peaks, and says what ends what: a closed hi-hat an open one; where each
stands; and what a phone, which gives nothing under 300 Hz, plays instead of low drums. Each is an
MP3 file of 1 to 40 KB whose attack is ``OFFSET`` seconds in, at the start of an encoder's group of
samples, so that nothing is heard before it; all of them together take less than 900 KB.
`manage.py sounds --table` measures them beside recorded drums, `--to FOLDER` writes them to listen.

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
