"""Who slips off the click is told where and by how much; who stays on it, nothing."""

from __future__ import annotations

import pytest

from rhythms.engine import Fill, Kit
from rhythms.engine.playback.groove_library import grooves_for
from rhythms.engine.takes import ESTIMATED, Analysis, Recording, analyse
from tests.engine.takes.simulated_player import Errors, play
from tests.engine.takes.test_simulated_takes import BARS, fills
from tests.thoroughness import amount

IN_FOUR = BARS[:2]
START, LOOPS = 700.0, 3
#: The bar and the beat, counted from 0, at which a beat is lost.
BAR, BEAT = 5, 2


def played(fill: Fill, tempo: float, seed: int, jitter: float = 25.0, groove=None):
    """Three blocks of four bars."""
    errors = Errors(jitter=jitter)
    return play(fill, tempo, errors, seed, loops=LOOPS, start=START, groove=groove).events


def beat_of(fill: Fill, tempo: float) -> float:
    return float(fill.bar.meter.length) * 60_000 / tempo / len(fill.bar.meter.beats)


def late_by(events, fill: Fill, tempo: float, beats: float):
    """A player who waits so many beats, or goes on as much too soon, where the beat is lost."""
    beat = beat_of(fill, tempo)
    bar = beat * len(fill.bar.meter.beats)
    at = START + BAR * bar + BEAT * beat - 60
    kept = [one for one in events if not at + beats * beat <= one[0] < at]
    return [(ms + beats * beat * (ms >= at), key, velocity) for ms, key, velocity in kept]


def slower(events, share: float):
    """From the third bar on a tempo of its own."""
    begins = START + 4_000
    return [(ms + share * max(0.0, ms - begins), key, velocity) for ms, key, velocity in events]


def found(fill: Fill, events, tempo: float, *, meant: bool = False) -> Analysis:
    recording = Recording(events, fill.bar.meter, Kit.standard(), click=(tempo, START), tempo=tempo)
    return analyse(recording, fill if meant else None)


@pytest.mark.parametrize("beats", [1.0, -1.0, 0.5])
@pytest.mark.parametrize("meant", [True, False])
def test_a_lost_beat_is_told_with_its_place(beats, meant):
    for seed, tempo, fill in fills(1, IN_FOUR):
        events = late_by(played(fill, tempo, seed, 12.0), fill, tempo, beats)
        left = found(fill, events, tempo, meant=meant).left
        assert left is not None
        assert abs(left.beats) == abs(beats)
        assert left.bar == BAR + 1
        assert abs(left.ms) == pytest.approx(abs(beats) * beat_of(fill, tempo), abs=40)


def test_notes_after_a_lost_beat_are_read_where_they_were_played():
    for seed, tempo, fill in fills(1, IN_FOUR):
        events = late_by(played(fill, tempo, seed, 8.0), fill, tempo, 1.0)
        analysis = found(fill, events, tempo, meant=True)
        assert len(analysis.attempts) == LOOPS
        assert [one.complete for one in (analysis.attempts[0], analysis.attempts[2])] == [True] * 2
        assert all(one.count("wrong") == 0 for one in analysis.attempts)
        assert analysis.grid is not None
        assert analysis.grid.known == ESTIMATED


@pytest.mark.parametrize("share", [0.02, -0.02])
def test_who_drifts_is_told_since_when_and_how_far_they_came(share):
    for seed, tempo, fill in fills(1, IN_FOUR):
        events = slower(played(fill, tempo, seed), share)
        left = found(fill, events, tempo, meant=True).left
        assert left is not None
        assert left.beats == 0
        assert 3 <= left.bar <= 9
        last = share * (events[-1][0] - START - 4_000)
        assert left.ms == pytest.approx(last, rel=0.4)


def test_a_take_that_drifted_has_its_notes():
    for seed, tempo, fill in fills(1, IN_FOUR):
        events = slower(played(fill, tempo, seed, 8.0), 0.02)
        attempts = found(fill, events, tempo, meant=True).attempts
        assert len(attempts) == LOOPS
        assert all(one.likeness > 0.9 for one in attempts)


@pytest.mark.parametrize("groove", range(3))
def test_a_steady_player_with_a_spread_of_25_ms_has_not_left(groove):
    for seed, tempo, fill in fills(amount(12, 2)):
        grooves = grooves_for(fill.bar.meter)
        events = played(fill, tempo, seed, groove=grooves[groove % len(grooves)])
        assert found(fill, events, tempo).left is None


@pytest.mark.parametrize("late", [-120.0, 0.0, 120.0])
def test_a_device_that_delays_all_alike_has_not_left(late):
    seed, tempo, fill = fills(1, IN_FOUR)[0]
    events = [(ms + late, key, velocity) for ms, key, velocity in played(fill, tempo, seed)]
    assert found(fill, events, tempo).left is None


def test_who_was_never_on_the_click_has_not_left_it():
    seed, _, fill = fills(1, IN_FOUR)[0]
    assert found(fill, played(fill, 88, seed), 120).left is None


def test_of_less_than_four_bars_nothing_is_said():
    seed, tempo, fill = fills(1, IN_FOUR)[0]
    events = play(fill, tempo, Errors(jitter=8.0, drift=0.03), seed, bars=1, start=START).events
    assert found(fill, events, tempo).left is None


def test_where_it_was_left_is_kept_as_json():
    seed, tempo, fill = fills(1, IN_FOUR)[0]
    events = late_by(played(fill, tempo, seed, 8.0), fill, tempo, 1.0)
    kept = found(fill, events, tempo).to_json()["left"]
    assert {name: kept[name] for name in ("bar", "beat", "beats")} == {
        "bar": BAR + 1,
        "beat": BEAT + 1,
        "beats": 1.0,
    }
    assert found(fill, played(fill, tempo, seed), tempo).to_json()["left"] is None
