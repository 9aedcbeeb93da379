"""The words that a bar is counted in by, spoken by a synthesiser of formants (eSpeak NG).

It has no clock of its own: a word is made once, as every sound of the kit is. A count is where its
vowel begins, not the consonants before it (the perceptual centre: Morton, Marcus and Frankish,
1976), so each word says how much of it comes before.
"""

from __future__ import annotations

import ctypes
from functools import cache
from threading import Lock
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from rhythms.notation.late_import import LateImport
from rhythms.notation.sounds.waves import RATE, Samples

if TYPE_CHECKING:
    import espeakng_loader
else:
    espeakng_loader = LateImport("espeakng_loader")

#: As many as a bar has counts.
WORDS = (
    *("one", "two", "three", "four", "five", "six", "seven", "eight"),
    *("nine", "ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen"),
)
#: Words a minute: short enough for counts that come fast.
_SPEED = 210
#: Where a sound begins: this part of its loudest sample, as pages find it.
_ATTACK = 0.02

# speak_lib.h of eSpeak NG 1.52
_SYNCHRONOUS = 2
_PHONEME_EVENTS, _NO_EXIT = 0x1, 0x8000
_RATE_PARAMETER = 1
_UTF_8 = 1
_END_OF_LIST, _PHONEME = 0, 7


class _Event(ctypes.Structure):
    _fields_ = [
        ("type", ctypes.c_int),
        ("identifier", ctypes.c_uint),
        ("text_position", ctypes.c_int),
        ("length", ctypes.c_int),
        ("milliseconds", ctypes.c_int),
        ("sample", ctypes.c_int),
        ("user_data", ctypes.c_void_p),
        ("phoneme", ctypes.c_char * 8),
    ]


_Callback = ctypes.CFUNCTYPE(
    ctypes.c_int, ctypes.POINTER(ctypes.c_short), ctypes.c_int, ctypes.POINTER(_Event)
)
#: The library speaks for one at a time.
_lock = Lock()


class Spoken(NamedTuple):
    """A word from its first audible sample on, RATE a second; ``lead``: seconds to its vowel."""

    wave: Samples
    lead: float


@cache
def spoken(word: str) -> Spoken:
    """One of WORDS. Raises KeyError for another."""
    if word not in WORDS:
        raise KeyError(word)
    with _lock:
        rate, wave, phonemes = _synthesised(word)
    peak = np.max(np.abs(wave))
    start = int(np.argmax(np.abs(wave) >= _ATTACK * peak))
    # The stressed syllable's vowel is the one that is marked.
    vowel = next(sample for sample, phoneme in phonemes if phoneme.startswith(b"'"))
    return Spoken(_at_our_rate(wave[start:] / peak, rate), max(0, vowel - start) / rate)


def _at_our_rate(wave: Samples, rate: int) -> Samples:
    """The same sound at RATE: its Fourier transform has no more frequencies than before."""
    count = round(wave.size * RATE / rate)
    padded = np.concatenate([wave, np.zeros(wave.size)])
    return np.fft.irfft(np.fft.rfft(padded), 2 * count)[:count] * (RATE / rate)


def _synthesised(word: str) -> tuple[int, Samples, list[tuple[int, bytes]]]:
    """Samples a second; the wave; at which sample each phoneme begins."""
    library, rate = _library()
    waves: list[Samples] = []
    phonemes: list[tuple[int, bytes]] = []

    def take(wave: Any, count: int, events: Any) -> int:
        if wave and count:
            waves.append(np.ctypeslib.as_array(wave, (count,)).astype(np.float64))
        place = 0
        while events[place].type != _END_OF_LIST:
            if events[place].type == _PHONEME:
                phonemes.append((events[place].sample, events[place].phoneme))
            place += 1
        return 0

    callback = _Callback(take)
    library.espeak_SetSynthCallback(callback)
    text = word.encode() + b"\0"
    library.espeak_Synth(text, len(text), 0, 1, 0, _UTF_8, None, None)
    return rate, np.concatenate(waves), phonemes


@cache
def _library() -> tuple[Any, int]:
    """The synthesiser, speaking American English, and its samples a second."""
    library = ctypes.CDLL(espeakng_loader.get_library_path())
    data = espeakng_loader.get_data_path().encode()
    rate = library.espeak_Initialize(_SYNCHRONOUS, 0, data, _PHONEME_EVENTS | _NO_EXIT)
    if rate <= 0 or library.espeak_SetVoiceByName(b"en-us") != 0:
        raise OSError("The speech synthesiser did not start.")
    library.espeak_SetParameter(_RATE_PARAMETER, _SPEED, 0)
    return library, rate
