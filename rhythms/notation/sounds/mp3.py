"""Samples as MP3, which every browser decodes, older Safari too."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from rhythms.notation.late_import import LateImport
from rhythms.notation.sounds.waves import RATE, Samples

if TYPE_CHECKING:
    import lameenc
else:
    lameenc = LateImport("lameenc")

#: Samples of silence that LAME and a decoder put before the first: 576 and 529 (LAME's
#: technical FAQ). A file of ours has no header that would tell a player to skip them.
_DELAY = 576 + 529
#: An encoder spreads an attack over the 576 samples that it takes together, also to those
#: before it: a faint echo ahead of the stroke. An attack that opens such a group has none.
_GROUP = 576
_LEAD = -_DELAY % _GROUP + _GROUP

#: Samples before the attack in a file of ours, decoded.
ATTACK = _DELAY + _LEAD


def mp3(wave: Samples, kilobits: int, effort: int = 2) -> bytes:
    """One channel, or (samples, 2), with so many kilobits a second; over full scale it is cut off.

    ``effort`` as LAME counts it, from 0 (most) to 7 (least). The wave begins ATTACK samples
    into the decoded file.
    """
    encoder = lameenc.Encoder()
    encoder.silence()
    encoder.set_channels(1 if wave.ndim == 1 else 2)
    encoder.set_in_sample_rate(RATE)
    encoder.set_out_sample_rate(RATE)
    encoder.set_bit_rate(kilobits)
    encoder.set_quality(effort)
    led_in = np.concatenate([np.zeros((_LEAD, *wave.shape[1:])), np.clip(wave, -1, 1)])
    integers = np.round(led_in * 32_767).astype("<i2")
    return bytes(encoder.encode(integers.tobytes()) + encoder.flush())
