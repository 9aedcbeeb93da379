"""What Python says that the scripts must come to, as JSON for the tests that Node runs.

`python -m tests.js.expectations` writes `tests/js/expected`; `test_expectations.py` fails where a
file there is no longer what is computed here.
"""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from rhythms.engine import Bar, Fill, Meter, Stroke, Surface
from rhythms.engine.bars.feel import SIXTEENTHS, Feel
from rhythms.engine.bars.phrases import phrase_of
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.playback.backing import Backing
from rhythms.engine.playback.groove_library import groove_named, grooves_for
from rhythms.engine.playback.ostinato_library import ostinato_named
from rhythms.engine.playback.timeline import Block
from rhythms.notation.player import block_json

EXPECTED = Path(__file__).parent / "expected"

ZONES = ("Europe/Berlin", "America/New_York", "Pacific/Kiritimati", "Asia/Kathmandu", "UTC")
#: Clocks go forward and back: Berlin 2026-03-29 and 2026-10-25, New York 2026-03-08, 2026-11-01.
CHANGES = ("2026-03-29", "2026-10-25", "2026-03-08", "2026-11-01")
#: Milliseconds that strokes are late, two of them so far off that they must not count.
OFFS = (31, 28, 35, 30, 29, 33, 27, 32, 30, 34, 26, 31, 200, -180, 30, 29)


def plain_block(bars: int = 4) -> Block:
    """Rock and a fill of eighths on the snare."""
    fill = snare_fill(Bar.from_counts("1 & 2 & 3 & 4 &"))
    return Block(fill, groove_named("rock", Meter(4, 4)), bars)


def dressed_block(
    counts: str = "1 e & a 2 trip let 3 & 4 e & a", meter: str = "4/4", bars: int = 4
) -> Block:
    """Flams and drags among plain strokes, the first one a flam over the bar line."""
    bar = Bar.from_counts(counts, meter)
    dressing = ("flam", None, "drag", None, "diddle")
    strokes = (Stroke(Surface.SNARE, ornament=dressing[n.index % 5]) for n in bar.sounded)
    return Block(Fill(bar, tuple(strokes)), grooves_for(bar.meter.one_bar)[0], bars)


#: Where eighths swing hard there is least room for grace notes.
_DENSE = "1 e & a 2 e & a 3 e & a 4 e & a"


def in_feel(block: Block, feel: Feel) -> Block:
    """The same with this feel."""
    return replace(block, feel=feel)


def grooving(name: str, counts: str = _DENSE, meter: str = "4/4", **how: Any) -> Block:
    """A block with a groove of the library."""
    return replace(
        dressed_block(counts, meter), groove=groove_named(name, Meter.parse(meter)), **how
    )


def in_a_phrase(bars: int, smaller: int) -> Block:
    """A phrase of rock in a block of its length, with a smaller fill of so many beats half-way."""
    phrase = phrase_of(Bar.from_counts("1 & 2 e & a 3 & 4 e & a"), bars, smaller)
    return Block(snare_fill(phrase), groove_named("rock", Meter(4, 4)), bars)


def with_feet(block: Block, name: str) -> Block:
    """The same with feet that keep going."""
    ostinato = ostinato_named(name, block.meter)
    return replace(block, fill=replace(block.fill, ostinato=ostinato))


def grid(block: Block, loops: int) -> list[Fraction]:
    """Where anything sounds, clicks among it, in quarters after a count-in of one bar."""
    bar, length = block.meter.length, block.length
    clicks = {
        k * bar + beat.onset for k in range(loops * block.bars + 1) for beat in block.meter.beats
    }
    sounds = {bar + loop * length + sound.onset for loop in range(loops) for sound in block.sounds}
    return sorted(sounds | clicks)


def _grids() -> dict[str, Any]:
    """Blocks in several meters, and the exact grid of two loops at a tempo."""
    asked = {
        "4/4 at 137": (dressed_block(), 137),
        "6/8 at 240": (dressed_block("1 & 2 3 & 4 & 5 6", "6/8"), 240),
        "3/4 at 30": (dressed_block("1 & 2 e & a 3", "3/4"), 30),
        "a late fill at 100": (dressed_block("(1) (2) & 3 e & a 4"), 100),
        "two bars at 120": (dressed_block("1 e & a 2 3 4 & | - & 2 trip let 3 & 4"), 120),
        "7/8 at 91": (dressed_block("1 2 3 & 4 5 6 & 7", "7/8"), 91),
        "triplet swing at 100": (in_feel(dressed_block(), Feel(67)), 100),
        "hard swing at 100": (in_feel(dressed_block(_DENSE), Feel(80)), 100),
        "swung 16ths at 90": (in_feel(dressed_block(), Feel(58, SIXTEENTHS)), 90),
        "swung 16ths in 6/8": (
            in_feel(dressed_block("1 & 2 3 & 4 & 5 6", "6/8"), Feel(67, SIXTEENTHS)),
            120,
        ),
        "a swung late fill": (in_feel(dressed_block("(1) (2) & 3 e & a 4"), Feel(67)), 100),
        "feet keep going": (with_feet(in_feel(dressed_block(), Feel(67)), "samba"), 110),
        "feet keep going under a late fill": (
            with_feet(dressed_block("(1) (2) & 3 e & a 4"), "hi-hat foot on 2 and 4"),
            96,
        ),
        "a late fill in triplets": (
            in_feel(dressed_block("(1) (2) (3) (trip) let 4 &"), Feel(67)),
            100,
        ),
        "a groove of two bars that leads in": (grooving("bossa nova", sets_up=True), 118),
        "a bar that leads into a late fill": (
            grooving("rock", "(1) (2) & 3 e & a 4", sets_up=True, feel=Feel(67)),
            100,
        ),
        "two bars of samba before two bars": (
            grooving("samba", "1 e & a 2 | 1 2 &", "2/4", sets_up=True),
            100,
        ),
        "a phrase with a bar that leads into each fill": (
            replace(in_a_phrase(4, 2), bars=8, sets_up=True, feel=Feel(67)),
            104,
        ),
        "a phrase as long as its block": (replace(in_a_phrase(4, 1), sets_up=True), 92),
        "a phrase of groove alone as long as its block": (in_a_phrase(4, 0), 92),
        "two bars with swing": (
            in_feel(dressed_block("1 e & a 2 3 4 & | - & 2 trip let 3 & 4"), Feel(62)),
            120,
        ),
    }
    return {
        name: {"tempo": tempo, "block": _own_groove(block), "grid": _fractions(grid(block, 2))}
        for name, (block, tempo) in asked.items()
    }


def _backings() -> dict[str, Any]:
    """Blocks, and the bass and chords of each: part, onset and length in quarters, pitch."""
    asked = {
        "rock": plain_block(),
        "a late fill in 6/8": dressed_block("(1) (&) (2) (3) 4 & 5 6", "6/8"),
        "two bars of bossa nova": grooving("bossa nova", bars=8),
        "a phrase": replace(in_a_phrase(4, 2), bars=8),
    }
    return {
        name: {
            "block": _own_groove(block),
            "tones": [
                [tone.part, float(tone.onset), float(tone.length), tone.pitch]
                for tone in Backing(block).tones
            ],
        }
        for name, block in asked.items()
    }


def _own_groove(block: Block) -> dict[str, Any]:
    """The block's JSON without grooves that it does not play."""
    return block_json(block, [block.groove])


def _fractions(onsets: list[Fraction]) -> list[list[int]]:
    return [[onset.numerator, onset.denominator] for onset in onsets]


def _days() -> dict[str, Any]:
    """Any time from 2001 to 2033 with its day in each zone, and when days begin near a change.

    Times are seconds since 1970; `from` and `to` bound the two days around a change.
    """
    random = Random(20)
    start = datetime(2001, 1, 1, tzinfo=UTC)
    anytime = [start + timedelta(seconds=random.randrange(10**9)) for _ in range(500)]
    return {
        "zones": ZONES,
        "anytime": [[_seconds(time), *(_day(time, zone) for zone in ZONES)] for time in anytime],
        "changes": [_around(datetime.fromisoformat(f"{day}T00:00+00:00")) for day in CHANGES],
    }


def _around(change: datetime) -> dict[str, Any]:
    """The quarters of an hour around a change of clocks, by the days on which they fall."""
    quarters = [change + timedelta(minutes=15 * number) for number in range(-96, 192)]
    return {
        "from": _seconds(quarters[0]),
        "to": _seconds(quarters[-1]),
        "days": {zone: _starts(quarters, zone) for zone in ZONES},
    }


def _starts(moments: list[datetime], zone: str) -> list[list[Any]]:
    """The first moment of each day in a row of moments, with that day."""
    days = [(_seconds(moment), _day(moment, zone)) for moment in moments]
    return [[at, day] for n, (at, day) in enumerate(days) if n == 0 or days[n - 1][1] != day]


def _seconds(time: datetime) -> int:
    return round(time.timestamp())


def _day(time: datetime, zone: str) -> str:
    return time.astimezone(ZoneInfo(zone)).date().isoformat()


def expectations() -> dict[str, dict[str, Any]]:
    """Return the content of each file, by its name."""
    return {
        "plain_block.json": block_json(plain_block()),
        "exact_grids.json": _grids(),
        "backings.json": _backings(),
        "days_in_zones.json": _days(),
        "late_strokes.json": {"offs": OFFS, "median": float(np.median(OFFS))},
    }


def as_text(content: dict[str, Any]) -> str:
    """Return JSON with a line for each key."""
    lines = (f"  {json.dumps(key)}: {json.dumps(value)}" for key, value in content.items())
    return "{\n" + ",\n".join(lines) + "\n}\n"


if __name__ == "__main__":
    for name, content in expectations().items():
        (EXPECTED / name).write_text(as_text(content))
