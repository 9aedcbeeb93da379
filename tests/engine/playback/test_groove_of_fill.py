"""A bar with its strokes as a groove: each drum in a line of its own."""

from __future__ import annotations

import pytest
from hypothesis import assume, given

from rhythms.engine import Bar, Fill, Stroke, Surface
from rhythms.engine.fills.fill import Hit, snare_fill, stroke_of
from rhythms.engine.playback.groove import GrooveError
from rhythms.engine.playback.groove_of_fill import groove_of_fill
from tests.strategies import fills


def test_each_drum_has_a_line():
    both = stroke_of([Hit(Surface.HI_HAT), Hit(Surface.BASS_DRUM, "RF")])
    backbeat = stroke_of([Hit(Surface.HI_HAT), Hit(Surface.SNARE, dynamic="accent")])
    hat = Stroke(Surface.HI_HAT)
    fill = Fill(Bar.from_counts("1 & 2 & 3 & 4 &"), (both, hat, backbeat, hat) * 2)
    assert groove_of_fill(fill, "mine").lines == {
        Surface.SNARE: "2> 4>",
        Surface.HI_HAT: "1 & 2 & 3 & 4 &",
        Surface.BASS_DRUM: "1 3",
    }


@given(fills("4/4", ornaments=False, together=True).filter(lambda fill: bool(fill.strokes)))
def test_what_the_groove_plays_is_what_the_fill_strikes(fill):
    pattern = groove_of_fill(fill, "mine")
    assume(not pattern.problems)  # a foot on an open hi-hat is refused in any groove
    played = pattern.groove.hits
    assert {(hit.onset, hit.surface, hit.dynamic) for hit in played} == {
        (note.onset, hit.surface, hit.dynamic)
        for note, stroke in zip(fill.bar.sounded, fill.strokes, strict=True)
        for hit in stroke.hits
    }


def test_two_bars_are_a_groove_of_two_bars():
    pattern = groove_of_fill(snare_fill(Bar.from_counts("1 2 3 4 | 1 & 2 3 4")), "mine")
    assert (pattern.bars, pattern.lines) == (2, {Surface.SNARE: "1 2 3 4 | 1 & 2 3 4"})


def test_a_pickup_is_no_groove():
    with pytest.raises(GrooveError, match="without a pick-up"):
        groove_of_fill(snare_fill(Bar.from_counts("4 & | 1 2 3 4")), "mine")
