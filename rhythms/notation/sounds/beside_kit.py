"""What is heard beside the kit: the words of a count, and the tones of a backing, as files."""

from __future__ import annotations

from functools import cache

import numpy as np

from rhythms.notation.sounds import pitched
from rhythms.notation.sounds.loudness import loudness
from rhythms.notation.sounds.mp3 import mp3
from rhythms.notation.sounds.spoken import WORDS, spoken
from rhythms.notation.sounds.waves import Samples, length

BASS, KEYS = "bass", "keys"
_SAY = "say "
#: How each is made at a pitch, at which ones, and how loud (see `loudness`), in dB.
_TONES = {
    BASS: (pitched.bass, pitched.BASS_PITCHES, -26.0),
    KEYS: (pitched.keys, pitched.KEYS_PITCHES, -31.0),
}
_WORD_LEVEL = -22.0
_KILOBITS = 40
_FADE = 0.03

#: By name, the ways in which there is each: a tone's are its pitches.
BESIDE: dict[str, tuple[str, ...]] = {
    **{_SAY + word: ("normal",) for word in WORDS},
    **{name: tuple(map(str, pitches)) for name, (_, pitches, _) in _TONES.items()},
}


@cache
def beside_samples(name: str, dynamic: str) -> Samples:
    """One word or tone, from its beginning on. Raises KeyError where there is none such."""
    if dynamic not in BESIDE[name]:
        raise KeyError(dynamic)
    if name in _TONES:
        make, _, level = _TONES[name]
        wave = make(int(dynamic))
    else:
        wave, level = spoken(name.removeprefix(_SAY)).wave, _WORD_LEVEL
    wave = wave * 10 ** ((level - loudness(wave)) / 20)
    wave[-length(_FADE) :] *= np.linspace(1, 0, length(_FADE))
    return wave


@cache
def beside_encoded(name: str, dynamic: str) -> bytes:
    """The same as MP3, beginning OFFSET seconds in, as sounds of the kit do."""
    return mp3(beside_samples(name, dynamic), _KILOBITS)


def lead_of(name: str) -> float:
    """Seconds of a sound that come before what is to be on time: consonants before a vowel."""
    return spoken(name.removeprefix(_SAY)).lead if name.startswith(_SAY) else 0.0
