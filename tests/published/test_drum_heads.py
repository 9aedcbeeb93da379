"""Drum heads against published figures of an ideal membrane, loudness against its standard."""

import numpy as np
import pytest

from rhythms.notation.sounds import drums
from rhythms.notation.sounds.loudness import loudness
from rhythms.notation.sounds.membrane import ZEROS, Head, bessel
from rhythms.notation.sounds.waves import TOUCHES
from tests.notation import sound_measures

RATE = sound_measures.RATE
#: Frequencies of a circular membrane's modes against the lowest: Rayleigh, The Theory of Sound,
#: chapter IX; Fletcher and Rossing, The Physics of Musical Instruments, figure 3.6.
PUBLISHED = (1.0, 1.593, 2.136, 2.296, 2.653, 2.918)
TOMS = ("high tom", "mid tom", "floor tom")
#: J_m(x) from Abramowitz and Stegun, Handbook of Mathematical Functions, tables 9.1 and 9.2.
BESSEL = [(0, 1.0, 0.76519769), (1, 1.0, 0.44005059), (0, 5.0, -0.17759677), (2, 2.0, 0.35283403)]


def ringing(tom: str) -> np.ndarray:
    """A tom's head alone, with nothing of shell, stick or glide, struck where all modes are."""
    pitch = drums.TOMS[tom].head.pitch
    head = Head(pitch=pitch, decay=1.0, strike=0.3, cutoff=12 * pitch, bend=0.0)
    return head.samples(TOUCHES["accent"], 1.0)[round(0.1 * RATE) :]


@pytest.mark.parametrize("tom", TOMS)
@pytest.mark.parametrize("ratio", PUBLISHED)
def test_a_toms_head_sounds_at_every_mode_of_a_membrane(tom, ratio):
    wave = ringing(tom)
    found = sound_measures.peaks(wave) / sound_measures.strongest(wave)
    assert np.min(np.abs(found / ratio - 1)) < 0.012


@pytest.mark.parametrize("tom", TOMS)
@pytest.mark.parametrize("harmonic", [2.0, 2.5])
def test_a_toms_head_does_not_sound_where_a_membrane_has_no_mode(tom, harmonic):
    wave = ringing(tom)
    found = sound_measures.peaks(wave) / sound_measures.strongest(wave)
    assert np.min(np.abs(found / harmonic - 1)) > 0.02


def test_the_modes_used_begin_with_the_published_ones():
    lowest = sorted(ZEROS.values())[: len(PUBLISHED)]
    assert [zero / lowest[0] for zero in lowest] == pytest.approx(PUBLISHED, abs=0.001)


@pytest.mark.parametrize(("order", "x", "value"), BESSEL)
def test_bessel_functions_have_their_published_values(order, x, value):
    assert bessel(order, x) == pytest.approx(value, abs=1e-7)


@pytest.mark.parametrize(("mode", "zero"), ZEROS.items())
def test_every_zero_is_one(mode, zero):
    assert bessel(mode[0], zero) == pytest.approx(0, abs=1e-5)


def test_loudness_is_calibrated_as_its_standard_says():
    """ITU-R BS.1770-4: a full-scale sine of 997 Hz reads -3.01 LKFS, 0.691 dB taken off."""
    sine = np.sin(2 * np.pi * 997 * np.arange(RATE) / RATE)
    assert loudness(sine) - 0.691 == pytest.approx(-3.01, abs=0.02)
