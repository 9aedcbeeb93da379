"""Every sound by its name: how it is made, how loud it is, how it is encoded."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache, partial

import numpy as np

from rhythms.engine import Surface
from rhythms.notation.sounds import cymbals, drums, hats
from rhythms.notation.sounds.loudness import loudness
from rhythms.notation.sounds.mp3 import ATTACK, mp3
from rhythms.notation.sounds.waves import RATE, TOUCHES, Samples, Touch, length

#: Changes whenever any sound does: it is part of the sounds' addresses.
SOUNDS_VERSION = "sounds-3"

CLICK, CLICK_ONE, COUNT_IN = "click", "click one", "count-in"

#: What makes each sound, and its loudness as an accent in dB (see loudness), our choice.
_MAKERS: dict[str, tuple[Callable[[Touch], Samples], float]] = {
    Surface.SNARE: (drums.snare, -23),
    Surface.HIGH_TOM: (partial(drums.tom, "high tom"), -23),
    Surface.MID_TOM: (partial(drums.tom, "mid tom"), -23),
    Surface.FLOOR_TOM: (partial(drums.tom, "floor tom"), -23),
    Surface.HI_HAT: (hats.hi_hat, -30),
    Surface.RIDE: (cymbals.ride, -29),
    Surface.RIDE_BELL: (cymbals.ride_bell, -27),
    Surface.CRASH: (cymbals.crash, -23),
    Surface.SPLASH: (cymbals.splash, -25),
    Surface.CHINA: (cymbals.china, -24),
    Surface.COWBELL: (drums.cowbell, -27),
    Surface.CROSS_STICK: (drums.cross_stick, -27),
    Surface.BASS_DRUM: (drums.bass_drum, -24),
    Surface.HI_HAT_FOOT: (hats.hi_hat_foot, -32),
    Surface.OPEN_HI_HAT: (hats.open_hi_hat, -28),
    Surface.HALF_OPEN_HI_HAT: (hats.half_open_hi_hat, -28),
    Surface.RIM_SHOT: (drums.rim_shot, -22),
    Surface.STICKS: (drums.sticks, -27),
    CLICK: (lambda _: drums.click(1_000), -27),
    CLICK_ONE: (lambda _: drums.click(1_500), -25),
    COUNT_IN: (drums.sticks, -26),
}
#: For a loudspeaker that gives nothing under 300 Hz: low drums by their knock and overtones.
FOR_PHONES = {
    str(drum): f"{drum} on a phone"
    for drum in (Surface.BASS_DRUM, Surface.HIGH_TOM, Surface.MID_TOM, Surface.FLOOR_TOM)
}
_MAKERS |= {
    FOR_PHONES[drum]: (partial(drums.for_phones, make), level)
    for drum, (make, level) in _MAKERS.items()
    if drum in FOR_PHONES
}
#: Struck one way only.
_ONE_TOUCH = (CLICK, CLICK_ONE, COUNT_IN)

#: What ends a sound that still rings: the same two plates.
_RINGING_HATS = (Surface.OPEN_HI_HAT, Surface.HALF_OPEN_HI_HAT)
CHOKES = dict.fromkeys((Surface.HI_HAT, Surface.HI_HAT_FOOT, *_RINGING_HATS), _RINGING_HATS)

#: How many takes there are of what is struck often: no two strokes of a drummer are the same.
_TAKES = dict.fromkeys((Surface.SNARE, Surface.HI_HAT, Surface.RIDE, Surface.BASS_DRUM), 3)

#: Where each stands, from -1 (left) to 1, as the drummer sits: lightly, as on recorded kits, whose
#: channels are within 2 dB.
PANS: dict[str, float] = {
    Surface.HI_HAT: -0.2,
    Surface.HI_HAT_FOOT: -0.2,
    Surface.OPEN_HI_HAT: -0.2,
    Surface.HALF_OPEN_HI_HAT: -0.2,
    Surface.HIGH_TOM: -0.1,
    Surface.MID_TOM: 0.1,
    Surface.FLOOR_TOM: 0.2,
    Surface.CRASH: -0.15,
    Surface.SPLASH: -0.05,
    Surface.RIDE: 0.2,
    Surface.RIDE_BELL: 0.2,
    Surface.CHINA: 0.2,
    Surface.COWBELL: 0.1,
}
PANS |= {FOR_PHONES[name]: place for name, place in PANS.items() if name in FOR_PHONES}

#: Ways to set the sounds against each other: ``gain`` in dB, and ``sound``, what sounds instead.
BALANCES: dict[str, dict[str, dict[str, float | str]]] = {
    "headphones": {},
    "phone": {name: {"gain": 0.0, "sound": other} for name, other in FOR_PHONES.items()},
}

#: Seconds from the start of a decoded file to the attack.
OFFSET = ATTACK / RATE

NAMES = tuple(str(name) for name in _MAKERS)

_OF_OTHERS = {"kilobits": 80, "effort": 2}
#: What is mostly noise needs more, and all effort of the encoder, or it is heard too soon.
_OF_NOISE = {"kilobits": 128, "effort": 0}
_NOISE = (
    Surface.HI_HAT,
    Surface.HI_HAT_FOOT,
    Surface.OPEN_HI_HAT,
    Surface.HALF_OPEN_HI_HAT,
)
#: A tail is cut off where it has fallen this far under the loudest accent's start, in dB.
_SILENCE = -66.0
_FADE = 0.04


def dynamics_of(name: str) -> tuple[str, ...]:
    """The dynamics that there are of a sound. Raises KeyError for a name that is none."""
    if name not in _MAKERS:
        raise KeyError(name)
    return ("normal",) if name in _ONE_TOUCH else tuple(TOUCHES)


def takes_of(name: str) -> int:
    """How many takes there are of a sound: strokes that follow each other take turns."""
    return _TAKES.get(Surface(name), 1) if name in tuple(Surface) else 1


@cache
def samples(name: str, dynamic: str, take: int = 0) -> Samples:
    """One stroke, from its attack on. Raises KeyError where there is no such sound."""
    if dynamic not in dynamics_of(name):
        raise KeyError(dynamic)
    if not 0 <= take < takes_of(name):
        raise KeyError(take)
    make, level = _MAKERS[name]
    touch = replace(TOUCHES["accent" if name in _ONE_TOUCH else dynamic], take=take)
    wave = _without_rumble(make(touch))
    wave *= 10 ** ((level + touch.level - loudness(wave)) / 20)
    wave = _without_tail(wave)
    wave.flags.writeable = False
    return wave


@cache
def encoded(name: str, dynamic: str, take: int = 0) -> bytes:
    """One stroke as MP3; its attack is OFFSET seconds in. Raises KeyError, as samples does."""
    return mp3(samples(name, dynamic, take), **(_OF_NOISE if name in _NOISE else _OF_OTHERS))


def _without_rumble(wave: Samples) -> Samples:
    """Without what lies under 15 Hz, and so without any offset from zero.

    A high-pass filter of the first order: (1 - z) / (1 - p z), with z one sample's delay.
    """
    padded = np.concatenate([wave, np.zeros(length(0.2))])
    delay = np.exp(-2j * np.pi * np.fft.rfftfreq(padded.size))
    gain = (1 - delay) / (1 - np.exp(-2 * np.pi * 15 / RATE) * delay)
    return np.fft.irfft(np.fft.rfft(padded) * gain, padded.size)[: wave.size]


def _without_tail(wave: Samples) -> Samples:
    """Up to where nothing is heard any more, and faded out there."""
    heard = np.flatnonzero(np.abs(wave) > 10 ** (_SILENCE / 20))
    kept = wave[: heard[-1] + 1].copy()
    fade = min(length(_FADE), kept.size // 4)
    kept[-fade:] *= np.linspace(1, 0, fade)
    return kept
