"""A block as JSON for the page's player: what sounds when, and what is counted.

What sounds when has one source, `rhythms.engine.playback.timeline`: `fill_timeline` for a fill,
`Block` for groove, fill and landing. MIDI, audio files and the page all read it. In
``static/js/player``, ``schedule.js`` (with ``tempo_map.js``) computes what happens in a window of
time and knows no page, sound or clock: windows that touch give every event once, and every time is
worked out from the last change of tempo, so nothing drifts. ``pump.js`` hands over what comes
within the lookahead, 250 ms, or 2.5 s on a hidden page, which browsers wake once a second; a
stroke that would be late is left out. ``audio.js`` loads and strikes the sounds; ``player.js`` is
what a page loads, starts and listens to; ``panel.js`` binds it to the page; ``hear.js`` serves the
button of ``{% hear fill %}``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

from rhythms.engine import Bar, Beat, Fill
from rhythms.engine.bars.feel import EIGHTHS, PAIRS, STRAIGHT, Feel, named_feels, tuplets
from rhythms.engine.playback.backing import Backing, BackingNote
from rhythms.engine.playback.groove import Groove
from rhythms.engine.playback.groove_fill import groove_fill
from rhythms.engine.playback.groove_library import usual_grooves
from rhythms.engine.playback.timeline import Block, Sound, fill_timeline

_HALF = Fraction(1, 2)
#: Bars of a groove that is heard by itself.
_HEARD = 4


def block_json(block: Block, others: Iterable[Groove] = ()) -> dict[str, Any]:
    """The block with ``others`` to change its groove to, or else the usual ones of its meter.

    Positions are in quarters, as floats.
    All of it is as written; ``feel`` names one of ``feels``, by which ``feel.js`` moves it, and
    ``grooveFeels`` those that grooves bring with them. ``tuplets`` are halves of quarters of the
    fill, by number, that are divided otherwise and never moved.
    ``bar`` is a bar's length and ``bars`` their number, the last ``fillBars`` of them the fill's;
    ``beats`` are what clicks in each, ``counts`` every syllable of the fill's bars (``struck``:
    whether a stroke falls there). ``groove`` names one of ``grooves``, each the sounds of as many
    bars as ``grooveBars`` says, and goes on up to ``fillStart`` and in the other ``grooveSpans`` of
    the fill's bars; before each fill the last whole bar, one of ``setupBars`` from the fill's first
    bar on (-1 the one before it), is that of ``setups``, where it has as many one after the other.
    ``fill``, ``feet`` and ``landing`` are sounds as well, the fill's and those of feet that keep
    going under it from its bar line (below 0 for grace notes), the landing's from the *one* after
    it.
    ``backing`` is bass and chords that go with it: see `Backing` and ``block.js``.
    A sound is ``{"onset", "surface", "dynamic", "note", "grace"}``; ``note`` is the index of
    the fill's stroke, in ``grooves`` that of the engraved groove's, or None.
    """
    written = replace(block, feel=STRAIGHT)
    grooves = _to_choose(block, others)
    return {
        "meter": str(block.meter),
        "bar": float(block.meter.length),
        "bars": block.bars,
        "fillBars": block.fill_bars,
        "beats": [_beat(beat) for beat in block.meter.beats],
        "counts": _counts(block.fill.bar),
        "groove": block.groove.name,
        **_grooves(written, grooves),
        "setupBars": [bar - block.bars + block.fill_bars for bar in block.before_fills],
        "fillStart": float(block.fill.bar.starts_at),
        "grooveSpans": [list(map(float, span)) for span in block.fill.bar.groove_spans],
        **_fill_and_feet(written.fill_bar),
        "landing": _sounds(block.landing),
        "backing": _backing(block, grooves),
        **_feels(block, grooves),
    }


def groove_json(groove: Groove) -> dict[str, Any]:
    """The groove alone, to be heard: four bars, and the crash that the last one may lead to.

    ``note`` is the index of the stroke in the engraved groove, None in a bar that sets up a fill.
    """
    fill = groove_fill(groove)
    played = [sound for number in range(_HEARD) for sound in _heard(groove, fill, number)]
    block = Block(fill, groove, fill.bar.meter.bars)
    return fill_json(fill, groove.feel) | {
        "bars": _HEARD,
        "fillBars": _HEARD,
        "counts": [],
        "fillStart": 0.0,
        "fill": _sounds(played),
        "landing": _sounds(block.landing) if groove.setups else [],
        "tuplets": sorted(tuplets([sound.onset for sound in played], _HALF)),
    }


def _heard(groove: Groove, fill: Fill, number: int) -> Iterator[Sound]:
    """A bar of the groove, the last of those that are heard leading on."""
    setting_up = number == _HEARD - 1 and bool(groove.setups)
    length = groove.meter.bar_length
    start = number % groove.meter.bars * length
    strokes = {note.onset - start: note.index for note in fill.bar.sounded}
    for onset, surface, dynamic in groove.in_bar(number, setting_up=setting_up):
        index = None if setting_up else strokes[onset]
        yield Sound(onset + number * length, surface, dynamic, index)


def _to_choose(block: Block, others: Iterable[Groove]) -> dict[str, Groove]:
    """By name; of two that are called alike, the block's own and then the first."""
    named: dict[str, Groove] = {}
    for groove in (block.groove, *(tuple(others) or usual_grooves(block.meter))):
        named.setdefault(groove.name, groove)
    return named


def _grooves(block: Block, grooves: Mapping[str, Groove]) -> dict[str, Any]:
    """What each groove plays in the block: its bars one after the other, and its set-up bars."""
    played = {name: replace(block, groove=groove) for name, groove in grooves.items()}
    return {
        "grooves": {name: _sounds(_bars_of(with_it)) for name, with_it in played.items()},
        "grooveBars": {name: groove.meter.bars for name, groove in grooves.items()},
        "setups": {
            name: _sounds(_one_after_the_other(with_it, with_it.setting_up))
            for name, with_it in played.items()
            if with_it.setting_up
        },
    }


def _bars_of(block: Block) -> Iterator[Sound]:
    """What is played in the bars of the groove, each sound with the stroke as it is engraved.

    Feet that keep going are no part of what is engraved of it.
    """
    plain = replace(block, sets_up=False)
    onsets = sorted({hit.onset for hit in block.groove.on(block.surfaces).hits})
    strokes = {onset: index for index, onset in enumerate(onsets)}
    for sound in _one_after_the_other(plain, range(block.groove.meter.bars)):
        yield sound._replace(note=strokes.get(sound.onset))


def _one_after_the_other(block: Block, bars: Iterable[int]) -> Iterator[Sound]:
    """These bars of groove of the block, onsets from the first one's bar line."""
    for place, number in enumerate(bars):
        for sound in block.groove_bar(number):
            yield sound._replace(onset=sound.onset + place * block.meter.length)


def _backing(block: Block, grooves: Mapping[str, Groove]) -> dict[str, Any]:
    """Chords by bar in pitches, and what is played of them: ``[onset, quarters, step]``."""
    backing = Backing(block)
    return {
        "chords": [{"bass": list(one.bass), "keys": list(one.keys)} for one in backing.chords],
        "bass": {
            name: [_notes(bar) for bar in backing.bass(groove)] for name, groove in grooves.items()
        },
        "keys": _notes(backing.keys),
    }


def _notes(notes: Iterable[BackingNote]) -> list[list[float]]:
    return [[float(note.onset), float(note.length), note.step] for note in notes]


def _feels(block: Block, grooves: Mapping[str, Groove]) -> dict[str, Any]:
    """What is played by which feel, and all there is to choose from, the block's own among it."""
    own = block.feel.in_meter(block.meter)
    brought = {name: groove.feel.in_meter(block.meter) for name, groove in grooves.items()}
    swung = {name: feel for name, feel in brought.items() if not feel.is_straight}
    offered = sorted({*named_feels(block.meter), own, *swung.values()}, key=_in_order)
    return {
        "feel": feel_name(own),
        "feels": {feel_name(feel): _feel(feel) for feel in offered},
        "grooveFeels": {name: feel_name(feel) for name, feel in swung.items()},
        "tuplets": sorted(tuplets([note.onset for note in block.fill.bar.notes], _HALF)),
    }


def _in_order(feel: Feel) -> tuple[bool, int]:
    return feel.unit != EIGHTHS, feel.swing


def feel_name(feel: Feel) -> str:
    """What the page's scripts call it: ``eighths 67``."""
    return feel.words if feel.is_straight else f"{feel.unit} {feel.swing}"


def _feel(feel: Feel) -> dict[str, Any]:
    return {
        "share": float(feel.share),
        "pair": float(PAIRS[feel.unit]),
        "words": feel.in_full.capitalize(),
    }


def counts_by_beat(block: dict[str, Any]) -> list[list[dict[str, Any]]]:
    """The counts of a `block_json`, beat by beat, as ``panel.js`` groups them."""
    starts = [
        number * block["bar"] + beat["onset"]
        for number in range(block["fillBars"])
        for beat in block["beats"]
    ]
    ends = [*starts[1:], float("inf")]
    return [
        [count for count in block["counts"] if start <= count["onset"] < end]
        for start, end in zip(starts, ends, strict=True)
    ]


def fill_json(fill: Fill, feel: Feel = STRAIGHT) -> dict[str, Any]:
    """The fill alone, once, to be heard: no groove before and no landing after it.

    A pick-up is heard at once: its onsets are from where it opens.
    """
    silence = Groove("none", fill.bar.meter.one_bar, ())
    alone = block_json(Block(fill, silence, fill.bar.meter.bars, feel=feel), [silence])
    opens = fill.bar.meter.opens_at
    sounds = [sound._replace(onset=sound.onset - opens) for sound in fill_timeline(fill)]
    return alone | {
        "grooves": {silence.name: []},
        "grooveBars": {},
        **_fill_and_feet(sounds),
        "counts": [count | {"onset": count["onset"] - float(opens)} for count in alone["counts"]],
        "fillStart": float(fill.bar.starts_at - opens),
        "landing": [],
        "backing": None,
    }


def _fill_and_feet(sounds: Sequence[Sound]) -> dict[str, Any]:
    return {
        "fill": _sounds(sound for sound in sounds if sound.note is not None),
        "feet": _sounds(sound for sound in sounds if sound.note is None),
    }


def _sounds(sounds: Iterable[Sound]) -> list[dict[str, Any]]:
    return [
        sound._asdict() | {"onset": float(sound.onset), "surface": str(sound.surface)}
        for sound in sounds
    ]


def _beat(beat: Beat) -> dict[str, Any]:
    return {"onset": float(beat.onset), "number": beat.number}


def _counts(bar: Bar) -> list[dict[str, Any]]:
    struck = {note.onset for note in bar.sounded}
    return [
        {"onset": float(onset), "label": label, "struck": onset in struck}
        for onset, label in bar.spoken
    ]
