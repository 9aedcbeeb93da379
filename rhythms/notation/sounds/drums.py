"""Snare, toms, bass drum, sticks: heads, and the noise of shell, wires and stick about them.

Pitches are within those of recorded drums, levels by octave as those of the hats.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rhythms.notation.sounds.membrane import RATIOS, SECOND, Head
from rhythms.notation.sounds.octave_shape import OctaveShape
from rhythms.notation.sounds.waves import (
    TOUCHES,
    Partials,
    Samples,
    Touch,
    burst,
    length,
    mixed,
    rise,
)


@dataclass(frozen=True)
class StruckDrum:
    """``head``, and ``about`` it in dB against its peak: the shell, what is stretched over it, the
    stick. ``seconds`` until it is cut off."""

    head: Head
    about: OctaveShape
    seconds: float

    def samples(self, touch: Touch) -> Samples:
        """One stroke."""
        head = self.head.samples(touch, self.seconds)
        wave: Samples = head / np.max(np.abs(head)) + self.about.samples(touch, self.seconds)
        return wave


#: Drums.
SNARE = StruckDrum(
    Head(
        pitch=178,
        decay=0.431,
        strike=0.309,
        cutoff=530,
        bend=0.0607,
        settling=0.035,
        contact=0.0028,
        second=0.469,
        damping=1.06,
    ),
    OctaveShape(
        178,
        blow=(-52, -41, -40, -31, -26, -28, -34, -40, -66),
        ring=(-66, -71, -57, -25, -26, -27, -20, -20, -28),
        blow_decay=0.2,
        ring_decay=0.6,
        damping=0.93,
        noise=0.75,
        attack=0.006,
        modes=300,
        softer=0.4,
    ),
    seconds=0.6,
)
RIM_SHOT = StruckDrum(
    Head(
        pitch=198,
        decay=0.329,
        strike=0.243,
        cutoff=1060,
        bend=0.0453,
        settling=0.035,
        contact=0.003,
        second=0.304,
        damping=1.15,
    ),
    OctaveShape(
        198,
        blow=(-33, -28, -40, -52, -28, -22, -37, -38, -54),
        ring=(-45, -32, -42, -26, -26, -30, -25, -29, -34),
        blow_decay=0.25,
        ring_decay=0.75,
        damping=0.95,
        noise=0.4,
        attack=0.003,
        modes=300,
        softer=0.4,
    ),
    seconds=0.7,
)
BASS_DRUM = StruckDrum(
    Head(
        pitch=54.1,
        decay=0.563,
        strike=0.111,
        cutoff=400,
        bend=0.82,
        settling=0.018,
        contact=0.0033,
        second=0.51,
        damping=1.6,
    ),
    OctaveShape(
        54,
        blow=(-47, -32, -61, -54, -33, -30, -30, -37, -68),
        ring=(-68, -31, -42, -44, -45, -47, -47, -48, -41),
        blow_decay=0.2,
        ring_decay=0.42,
        damping=0.85,
        noise=0.65,
        attack=0.003,
        modes=200,
    ),
    seconds=0.7,
)
TOMS = {
    "high tom": StruckDrum(
        Head(
            pitch=147,
            decay=1.5,
            strike=0.1,
            cutoff=261,
            bend=0.234,
            settling=0.035,
            contact=0.0039,
            second=0.3,
            damping=1.6,
        ),
        OctaveShape(
            147,
            blow=(-28, -40, -38, -30, -18, -20, -19, -23, -30),
            ring=(-24, -47, -33, -36, -40, -42, -46, -54, -52),
            blow_decay=0.16,
            ring_decay=0.8,
            damping=0.82,
            noise=1.0,
            attack=0.003,
            modes=300,
        ),
        seconds=1.0,
    ),
    "mid tom": StruckDrum(
        Head(
            pitch=101,
            decay=1.28,
            strike=0.458,
            cutoff=141,
            bend=0.33,
            settling=0.035,
            contact=0.0025,
            second=0.793,
            damping=0.602,
        ),
        OctaveShape(
            101,
            blow=(-34, -40, -32, -22, -19, -17, -17, -21, -36),
            ring=(-23, -32, -19, -24, -35, -32, -40, -44, -50),
            blow_decay=0.16,
            ring_decay=0.85,
            damping=0.82,
            noise=0.95,
            attack=0.003,
            modes=300,
        ),
        seconds=1.1,
    ),
    "floor tom": StruckDrum(
        Head(
            pitch=73.4,
            decay=1.9,
            strike=0.354,
            cutoff=600,
            bend=0.3,
            settling=0.035,
            contact=0.004,
            second=0.8,
            damping=1.19,
        ),
        OctaveShape(
            73,
            blow=(-50, -40, -41, -38, -23, -17, -18, -27, -41),
            ring=(-45, -41, -35, -22, -28, -35, -34, -41, -57),
            blow_decay=0.16,
            ring_decay=0.8,
            damping=0.85,
            noise=0.6,
            attack=0.003,
            modes=300,
        ),
        seconds=1.3,
    ),
}
#: A rim click is the hoop's wood alone.
CLICK = OctaveShape(
    37,
    blow=(-42, -2, -15, -10, -2, -3, -3, -14, -25),
    ring=(-42, -33, -26, -22, -18, -20, -20, -24, -30),
    blow_decay=0.09,
    ring_decay=0.45,
    damping=0.88,
    noise=0.45,
    attack=0.004,
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
#: The cowbell's clatter, beside what it rings with.
CLATTER = OctaveShape(
    56,
    blow=(-64, -64, -37, -20, -25, -12, -12, -12, -13),
    ring=(-43, -48, -20, -48, -24, -10, -11, -13, -24),
    blow_decay=0.06,
    ring_decay=0.25,
    damping=0.9,
    noise=0.8,
    attack=0.004,
    modes=100,
)
#: Seconds of what is added for a phone's loudspeaker, and of all of it.
_KNOCK, _PHONE_SECONDS = 0.16, 0.4


def snare(touch: Touch) -> Samples:
    """The head, and the wires under it, which lag."""
    return SNARE.samples(touch)


def rim_shot(touch: Touch) -> Samples:
    """Head and hoop at once: the head, higher and longer than alone, and the crack of the hoop."""
    return RIM_SHOT.samples(touch)


def tom(name: str, touch: Touch) -> Samples:
    """Both heads and the shell."""
    return TOMS[name].samples(touch)


def bass_drum(touch: Touch) -> Samples:
    """The heads, damped, and the beater."""
    return BASS_DRUM.samples(touch)


def for_phones(drum: StruckDrum, low: float, high: float, touch: Touch) -> Samples:
    """A low drum by what a phone lets through: its overtones, longer, and a knock.

    The knock lies between ``low`` and ``high`` Hz, so that no two drums have the same.
    """
    modes = drum.head.pitch * np.array(list(RATIOS.values()))
    pitches = np.concatenate([modes, SECOND * modes])
    pitches = np.sort(pitches[(pitches > low) & (pitches < high)])
    falling = 0.9 * _KNOCK * drum.seconds * np.ones(pitches.size)
    tones = Partials(pitches, np.ones(pitches.size), falling, np.zeros(pitches.size))
    overtones = tones.samples(_KNOCK)
    knock = burst(_KNOCK, low, high, 0.75 * _KNOCK, touch.random(300))
    wave = drum.samples(touch)
    heard = 0.5 * overtones / np.max(np.abs(overtones)) + 0.25 * knock
    return mixed(0.5 * wave, rise(heard, 0.003))[: length(_PHONE_SECONDS)]


def cross_stick(touch: Touch) -> Samples:
    """The stick on the rim, the rim click: wood, short and high, with little of the shell."""
    return CLICK.samples(touch, 0.4)


def cowbell(touch: Touch) -> Samples:
    """One strong partial, a rough fifth over it, and weaker ones that do not fit them."""
    shell = Partials(
        np.array([545, 830, 1_610, 2_390, 3_310, 4_640]),
        np.array([1.0, 0.2, 0.1, 0.15, 0.14, 0.1]),
        np.array([0.38, 0.2, 0.2, 0.16, 0.14, 0.12]),
        np.zeros(6),
    )
    return rise(shell.samples(0.5), 0.004) + CLATTER.samples(touch, 0.5)


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
