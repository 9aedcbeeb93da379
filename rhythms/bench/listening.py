"""The kit's sounds as files for a person to listen to, and a block of them."""

from __future__ import annotations

import wave
from pathlib import Path

import numpy as np
from django.utils.text import slugify

from rhythms.bench.loudness_table import TEMPO, heard_block
from rhythms.notation.sounds import NAMES, RATE, Samples, dynamics_of, samples, takes_of
from rhythms.notation.sounds.audio import GAIN, audio, mix

_PAUSE = 0.6


def write_all(folder: Path) -> int:
    """Write each surface in its dynamics and takes, and one block, as WAV and MP3.

    Returns how many files there are. Raises OSError where there is no room for them.
    """
    folder.mkdir(parents=True, exist_ok=True)
    for name in NAMES:
        _write(folder / f"{slugify(name)}.wav", GAIN / 2 * _one_after_another(name))
    block = heard_block().sounds
    _write(folder / "block.wav", mix(block, TEMPO))
    (folder / "block.mp3").write_bytes(audio(block, TEMPO))
    return len(NAMES) + 2


def _one_after_another(name: str) -> Samples:
    """Every dynamic, every take, with a pause after each."""
    pause = np.zeros(round(_PAUSE * RATE))
    strokes = (
        samples(name, dynamic, take)
        for dynamic in dynamics_of(name)
        for take in range(takes_of(name))
    )
    return np.concatenate([part for stroke in strokes for part in (stroke, pause)])


def _write(path: Path, heard: Samples) -> None:
    """One channel, or (samples, 2), as 16-bit WAV."""
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1 if heard.ndim == 1 else heard.shape[1])
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(np.round(np.clip(heard, -1, 1) * 32_767).astype("<i2").tobytes())
