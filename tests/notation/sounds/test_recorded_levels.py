"""Hats, rim shot, rim click and bell against recorded ones, octave by octave.

The medians of normal and accented strokes on ten recorded kits of free licences (Debian's
fluid-soundfont-gm, avldrums.lv2-soundfont, timgm6mb-soundfont, sonic-pi-samples and
hydrogen-drumkits; 348 strokes, statistics only): dB under the loudest cell.
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.notation import sound_measures

RATE = sound_measures.RATE
#: Octaves round 63, 125 … 8000 and 14000 Hz; stretches in seconds.
EDGES = [*(63 * 2 ** (k - 0.5) for k in range(9)), 20_000]
STRETCHES = ((0, 0.02), (0.06, 0.16), (0.4, 1.0))
NOTHING = [-99] * 9
RECORDED = {
    "snare": (
        [-21, -3, 0, -8, -12, -15, -15, -18, -29],
        [-43, -21, -16, -24, -28, -27, -22, -23, -32],
        NOTHING,
    ),
    "rim shot": (
        [-22, -6, 0, -8, -7, -10, -14, -18, -28],
        [-37, -23, -15, -22, -22, -25, -22, -26, -33],
        NOTHING,
    ),
    "cross-stick": (
        [-28, -11, -12, -6, -1, -3, -4, -11, -23],
        [-46, -37, -33, -30, -26, -30, -33, -38, -48],
        NOTHING,
    ),
    "hi-hat": (
        [-31, -22, -15, -10, -12, -14, -7, 0, -1],
        [-54, -38, -29, -26, -29, -28, -20, -17, -15],
        NOTHING,
    ),
    "open hi-hat": (
        [-33, -26, -16, -2, -9, -14, -5, -2, -4],
        [-41, -33, -28, -9, -14, -16, -8, -6, -10],
        [-46, -47, -34, -19, -23, -25, -18, -18, -30],
    ),
    "hi-hat foot": (
        [-18, -7, -2, -6, -11, -14, -8, -5, -4],
        [-43, -34, -25, -29, -30, -28, -24, -21, -19],
        NOTHING,
    ),
    "ride bell": (
        [-35, -33, -14, -11, -11, -6, 0, -3, -8],
        [-50, -46, -25, -15, -18, -11, -8, -14, -22],
        [-59, -56, -29, -21, -18, -13, -17, -27, -41],
    ),
}
#: Recorded strokes are 5 to 7 dB from the medians of other kits (median), 7 to 14 (p90).
NEAR = 7.0
OURS = [name for name in RECORDED if name != "snare"]
#: Seconds to -60 dB at 500 and at 8000 Hz, p10 to p90 of the same strokes.
DECAYS = {
    "cross-stick": ((0.23, 1.0), (0.16, 0.49)),
    "hi-hat": ((0.24, 0.64), (0.18, 0.43)),
    "open hi-hat": ((0.6, 7.9), (0.8, 4.0)),
    "hi-hat foot": ((0.14, 0.65), (0.10, 0.23)),
    "ride bell": ((4.2, 10), (1.2, 3.4)),
}


def cells(wave: np.ndarray) -> np.ndarray:
    """The power in each octave of each stretch, in dB under the loudest."""
    rows = []
    for start, stop in STRETCHES:
        heard = wave[round(start * RATE) : round(stop * RATE)]
        heard = np.pad(heard, (0, round((stop - start) * RATE) - heard.size))
        power = np.abs(np.fft.rfft(heard, 2**16)) ** 2 / heard.size
        octave = np.searchsorted(EDGES, np.fft.rfftfreq(2**16, 1 / RATE), side="right") - 1
        rows.append([power[octave == each].sum() for each in range(9)])
    level = 10 * np.log10(np.array(rows) + 1e-30)
    return np.maximum(level - level.max(), -99)


def gap(ours: np.ndarray, recorded: np.ndarray) -> float:
    """The RMS difference in dB over what either has above -50, their level free within 6 dB."""
    heard = (ours > -50) | (recorded > -50)
    one, other = (np.clip(each[heard], -60, 0) for each in (ours, recorded))
    shifts = np.linspace(-6, 6, 49)
    return float(min(np.sqrt(np.mean((one + shift - other) ** 2)) for shift in shifts))


def gap_to(name: str, row: str, dynamic: str = "accent") -> float:
    return gap(cells(sound_measures.heard(name, dynamic)), np.array(RECORDED[row]))


@pytest.mark.parametrize("dynamic", ["normal", "accent"])
@pytest.mark.parametrize("name", OURS)
def test_a_sound_is_as_near_to_recorded_ones_as_these_are_to_each_other(name, dynamic):
    assert gap_to(name, name, dynamic) <= NEAR


@pytest.mark.parametrize("name", OURS)
def test_no_other_kind_of_stroke_is_nearer(name):
    assert min(RECORDED, key=lambda row: gap_to(name, row)) == name


def seconds_to_die(wave: np.ndarray, centre: float) -> float:
    """Seconds to -60 dB in an octave, from the slope between -5 and -25 (T20, ISO 3382-1)."""
    spectrum = np.fft.rfft(wave, 2 * wave.size)
    frequencies = np.fft.rfftfreq(2 * wave.size, 1 / RATE)
    spectrum[(frequencies < centre / 2**0.5) | (frequencies > centre * 2**0.5)] = 0
    left = np.cumsum(np.fft.irfft(spectrum)[: wave.size][::-1] ** 2)[::-1]
    level = 10 * np.log10(left / left[0] + 1e-12)
    five, twentyfive = (int(np.argmax(level < under)) for under in (-5, -25))
    return 3 * (twentyfive - five) / RATE


@pytest.mark.parametrize("name", DECAYS)
def test_it_dies_away_as_recorded_ones_do(name):
    wave = sound_measures.heard(name)
    for centre, (least, most) in zip((500, 8000), DECAYS[name], strict=True):
        # What is cut off at the end of a file looks as if it died sooner.
        assert 0.8 * least <= seconds_to_die(wave, centre) <= most
