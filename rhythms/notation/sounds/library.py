"""Every sound by its name: how it is made, how loud it is, how it is encoded."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache, partial

import numpy as np

from rhythms.engine import Surface
from rhythms.notation.sounds import cymbals, drums, hats
from rhythms.notation.sounds.loudness import loudness, shaved
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
    CLICK: (lambda _: drums.click(1_000), -28.2),
    CLICK_ONE: (lambda _: drums.click(1_500), -26.2),
    COUNT_IN: (drums.sticks, -26),
}
#: For a loudspeaker that gives nothing under 300 Hz: low drums by their knock and overtones.
FOR_PHONES = {
    str(drum): f"{drum} on a phone"
    for drum in (Surface.BASS_DRUM, Surface.HIGH_TOM, Surface.MID_TOM, Surface.FLOOR_TOM)
}
#: The band in Hz of the knock of each, and the drum.
_KNOCKS = {
    Surface.BASS_DRUM: (drums.BASS_DRUM, 300, 900),
    Surface.HIGH_TOM: (drums.TOMS["high tom"], 650, 1_500),
    Surface.MID_TOM: (drums.TOMS["mid tom"], 430, 900),
    Surface.FLOOR_TOM: (drums.TOMS["floor tom"], 300, 560),
}
_MAKERS |= {
    FOR_PHONES[drum]: (partial(drums.for_phones, *knock), _MAKERS[drum][1])
    for drum, knock in _KNOCKS.items()
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
    Surface.HI_HAT: -0.14,
    Surface.HI_HAT_FOOT: -0.14,
    Surface.OPEN_HI_HAT: -0.14,
    Surface.HALF_OPEN_HI_HAT: -0.14,
    Surface.HIGH_TOM: -0.1,
    Surface.MID_TOM: 0.1,
    Surface.FLOOR_TOM: 0.14,
    Surface.CRASH: -0.12,
    Surface.SPLASH: -0.05,
    Surface.RIDE: 0.14,
    Surface.RIDE_BELL: 0.14,
    Surface.CHINA: 0.14,
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
#: What is mostly noise needs more, or it is heard too soon.
_OF_NOISE = {"kilobits": 160, "effort": 2}
_CODED: dict[str, dict[str, int]] = {
    **dict.fromkeys((Surface.HI_HAT, Surface.HI_HAT_FOOT, *_RINGING_HATS), _OF_NOISE),
    Surface.RIDE: {"kilobits": 128, "effort": 0},
    Surface.RIDE_BELL: {"kilobits": 112, "effort": 0},
    Surface.SPLASH: {"kilobits": 96, "effort": 0},
    Surface.SNARE: {"kilobits": 64, "effort": 2},
    **{name: {"kilobits": 64, "effort": 2} for names in FOR_PHONES.items() for name in names},
}
#: A tail is cut off where it has fallen this far under the loudest, in dB; the fade of its end in
#: seconds, and of what rings on as a part of the whole.
_SILENCE = -60.0
_FADE, _SLOW_FADE = 0.04, 0.3
#: Peaks are rounded off from here up to here (see `shaved`), which makes them softer: so again.
_KNEE, _TOP, _ROUNDS = 0.09, 0.2, 2


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
    wave = _without_tail(_without_rumble(make(touch)))
    wave = _as_loud(wave, level + touch.level)
    wave.flags.writeable = False
    return wave


@cache
def encoded(name: str, dynamic: str, take: int = 0) -> bytes:
    """One stroke as MP3; its attack is OFFSET seconds in. Raises KeyError, as samples does."""
    return mp3(samples(name, dynamic, take), **_CODED.get(name, _OF_OTHERS))


def _without_rumble(wave: Samples) -> Samples:
    """Without what lies under 15 Hz, and so without any offset from zero.

    A high-pass filter of the first order: (1 - z) / (1 - p z), with z one sample's delay.
    """
    padded = np.concatenate([wave, np.zeros(length(0.2))])
    delay = np.exp(-2j * np.pi * np.fft.rfftfreq(padded.size))
    gain = (1 - delay) / (1 - np.exp(-2 * np.pi * 15 / RATE) * delay)
    return np.fft.irfft(np.fft.rfft(padded) * gain, padded.size)[: wave.size]


def _as_loud(wave: Samples, level: float) -> Samples:
    """The wave at that loudness in dB, its peaks rounded off: a block gets louder that way."""
    for _ in range(_ROUNDS):
        wave = wave * 10 ** ((level - loudness(wave)) / 20)
        wave = shaved(wave, _KNEE, _TOP)
    return wave


def _without_tail(wave: Samples) -> Samples:
    """Up to where nothing is heard any more; what still rings at its end is faded out slowly."""
    quiet = 10 ** (_SILENCE / 20) * np.max(np.abs(wave))
    kept = wave[: np.flatnonzero(np.abs(wave) > quiet)[-1] + 1].copy()
    rings = np.max(np.abs(kept[-length(_FADE) :])) > 10 * quiet
    fade = int(kept.size * _SLOW_FADE) if rings else min(length(_FADE), kept.size // 4)
    kept[-fade:] *= 0.5 + 0.5 * np.cos(np.linspace(0, np.pi, fade))
    return kept
