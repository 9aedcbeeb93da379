"""How loud a block is, as a file and in the page's player, and what is left on a phone."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import cast

from rhythms.bench.phone_speaker import loudness_on_phone
from rhythms.engine import Bar, Fill, Stroke, Surface
from rhythms.engine.playback.groove_library import grooves_for
from rhythms.engine.playback.timeline import Block, Sound
from rhythms.notation.sounds import BALANCES, CLICK, CLICK_ONE, samples
from rhythms.notation.sounds.audio import GAIN, mix
from rhythms.notation.sounds.loudness import loudness, programme_loudness, true_peak

TEMPO = 100
_ROUND = ("snare", "snare", "high tom", "high tom", "mid tom", "mid tom", "floor tom", "floor tom")
_BARS = 4
_BEATS = 4


def heard_block() -> Block:
    """Three bars of rock and a fill of 16ths round the drums, accented on the beat."""
    bar = Bar.from_counts("1 e & a 2 e & a 3 e & a 4 e & a")
    strokes = tuple(
        Stroke(Surface(_ROUND[index // 2]), "accent" if index % 4 == 0 else "normal")
        for index in range(16)
    )
    return Block(Fill(bar, strokes), grooves_for(bar.meter)[0], _BARS)


def clicks() -> tuple[Sound, ...]:
    """The click through that block; it has a name as surfaces have."""
    beats = range(_BARS * _BEATS)
    return tuple(
        Sound(Fraction(beat), cast("Surface", CLICK if beat % _BEATS else CLICK_ONE), "normal")
        for beat in beats
    )


def loudness_lines() -> Iterator[str]:
    """The tables, a line each: parts of a block, then each surface against the snare."""
    block = heard_block()
    groove = tuple(sound for sound in block.sounds if sound.onset < block.fill_onset)
    fill = tuple(sound for sound in block.sounds if sound.onset >= block.fill_onset)
    parts = {"groove": groove, "fill": fill, "click": clicks()}
    yield f"{'':<28} {'LUFS':>6} {'dBTP':>6}   at {TEMPO}"
    for name, part in {**parts, "block with click": (*block.sounds, *clicks())}.items():
        wave = mix(part, TEMPO)
        yield f"{name:<28} {programme_loudness(wave):6.1f} {true_peak(wave):6.1f}"
    yield ""
    yield f"{'dB against the snare':<28} {'kit':>6} {'phone':>6} {'balance for phones':>19}"
    for surface in Surface:
        instead = str(BALANCES["phone"].get(surface, {}).get("sound", surface))
        kit = loudness(samples(surface, "accent")) - loudness(samples("snare", "accent"))
        phone, balanced = (
            loudness_on_phone(GAIN * samples(name, "accent"))
            - loudness_on_phone(GAIN * samples("snare", "accent"))
            for name in (surface, instead)
        )
        yield f"{surface:<28} {kit:6.1f} {phone:6.1f} {balanced:19.1f}"
