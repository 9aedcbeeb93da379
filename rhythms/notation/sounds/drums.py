"""Snare, toms, bass drum, sticks. Pitches and decays are of common tunings, our choice.

Levels by octave of rim shot and rim click are near the medians of strokes on recorded kits, as
those of the hats.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from rhythms.notation.sounds.membrane import Head
from rhythms.notation.sounds.octave_shape import OctaveShape
from rhythms.notation.sounds.waves import TOUCHES, Partials, Samples, Touch, burst, mixed, rise

SNARE = Head(pitch=185, decay=0.28, strike=0.25, cutoff=1_800, bend=0.05)
TOMS = {
    "high tom": Head(pitch=170, decay=0.75, strike=0.3, cutoff=1_500, bend=0.10),
    "mid tom": Head(pitch=125, decay=0.95, strike=0.3, cutoff=1_250, bend=0.10),
    "floor tom": Head(pitch=82, decay=1.25, strike=0.3, cutoff=1_000, bend=0.12),
}
#: A rim shot's head and the hoop with the wires; a rim click is the hoop's wood alone.
RIM_SHOT = Head(pitch=190, decay=0.5, strike=0.3, cutoff=1_800, bend=0.06)
CRACK = OctaveShape(
    40,
    blow=(-30, -16, -14, -8, -8, -10, -13, -18, -27),
    ring=(-48, -36, -24, -24, -21, -21, -18, -21, -28),
    blow_decay=0.09,
    ring_decay=0.5,
    damping=0.97,
    noise=0.6,
    attack=0.001,
)
CLICK = OctaveShape(
    37,
    blow=(-34, -15, -15, -9, -2, -3, -4, -11, -23),
    ring=(-47, -38, -33, -27, -21, -22, -22, -24, -33),
    blow_decay=0.09,
    ring_decay=0.45,
    damping=0.88,
    noise=0.4,
    attack=0.002,
    modes=120,
)
#: Two sticks: drier than on the rim, and nothing below them that could ring.
CLACK = OctaveShape(
    31,
    blow=(-50, -40, -32, -20, -6, 0, -2, -7, -20),
    ring=(-60, -55, -45, -34, -24, -22, -24, -28, -38),
    blow_decay=0.05,
    ring_decay=0.25,
    damping=0.88,
    noise=0.5,
    attack=0.001,
    modes=120,
)
BASS_DRUM = Head(pitch=54, decay=0.42, strike=0.05, cutoff=420, bend=0.9, settling=0.018)


def snare(touch: Touch) -> Samples:
    """The head, the wires under it, the stick's tip."""
    random = touch.random(38)
    wires = burst(0.5, 1_100, touch.cutoff(8_500), 0.2 + 0.1 * touch.force, random)
    tip = burst(0.02, 1_500, touch.cutoff(9_000), 0.012, random)
    head = SNARE.samples(touch, 0.5)
    return mixed(head, 0.75 * rise(wires, 0.001), 0.5 * touch.force * tip)


def rim_shot(touch: Touch) -> Samples:
    """Head and rim at once: the head, higher and longer than alone, and the crack of the hoop."""
    head = RIM_SHOT.samples(touch, 0.6)
    return mixed(3 * head / np.max(np.abs(head)), CRACK.samples(touch, 0.6))


def tom(name: str, touch: Touch) -> Samples:
    """The head and the stick's tip."""
    head = TOMS[name]
    random = np.random.default_rng(round(head.pitch))
    tip = burst(0.03, 800, touch.cutoff(5_000), 0.02, random)
    return mixed(head.samples(touch, head.decay), 0.35 * touch.force * tip)


def bass_drum(touch: Touch) -> Samples:
    """The head, damped, and the beater; the beater is what a phone's loudspeaker lets through."""
    beater = burst(0.04, 700, touch.cutoff(3_200), 0.03, touch.random(36))
    return mixed(BASS_DRUM.samples(touch, 0.45), 0.3 * (0.3 + 0.7 * touch.force) * beater)


def for_phones(make: Callable[[Touch], Samples], touch: Touch) -> Samples:
    """A low drum with a knock that a phone's loudspeaker lets through."""
    wave = make(touch)
    knock = burst(0.16, 300, 900, 0.12, touch.random(300))
    return mixed(wave, 0.3 * float(np.max(np.abs(wave))) * rise(knock, 0.003))


def cross_stick(touch: Touch) -> Samples:
    """The stick on the rim, the rim click: wood, short and high, with little of the shell."""
    return CLICK.samples(touch, 0.4)


def cowbell(touch: Touch) -> Samples:
    """Two strong partials a rough fifth apart, and weaker ones that do not fit them."""
    pitches, strengths = (560, 832, 1_610, 2_390, 3_310, 4_640), (1.0, 0.9, 0.3, 0.3, 0.22, 0.2)
    shell = _ringing(pitches, strengths, 0.45, touch)
    tip = burst(0.01, 2_000, touch.cutoff(9_000), 0.008, np.random.default_rng(56))
    return mixed(shell, 0.2 * touch.force * tip)


def sticks(touch: Touch) -> Samples:
    """Two sticks struck together, as one counts in."""
    wood = _ringing((1_240, 2_870, 4_430), (1.0, 0.8, 0.5), 0.12, touch)
    return mixed(wood / np.max(np.abs(wood)), 0.5 * CLACK.samples(touch, 0.2))


def click(pitch: float) -> Samples:
    """A metronome's: one short clear pitch with its octave."""
    return _ringing((pitch, 2 * pitch), (1.0, 0.35), 0.06, TOUCHES["accent"])


def _ringing(
    pitches: tuple[float, ...], strengths: tuple[float, ...], decay: float, touch: Touch
) -> Samples:
    """Partials in Hz; the lowest falls by 60 dB in ``decay`` seconds, higher ones sooner."""
    frequencies = np.array(pitches)
    woken = np.array(strengths) * np.exp(-((frequencies / touch.cutoff(7_000)) ** 2))
    decays = decay * (frequencies / frequencies[0]) ** -0.5
    return Partials(frequencies, woken, decays, np.zeros(frequencies.size)).samples(decay)
