"""What sounds together in a take: read as one stroke, and judged hit by hit."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Fill, FillSpace, Kit, Meter, RuleSet, Stroke, Surface
from rhythms.engine.fills.fill import Hit, stroke_of
from rhythms.engine.playback.ostinato_library import ostinato_named
from rhythms.engine.takes import CLICK, Grid, Recording, TimedHit, analyse
from rhythms.engine.takes.attempt_result import Attempt
from rhythms.engine.takes.matching import attempt
from rhythms.engine.takes.moments import moments
from rhythms.engine.takes.stroke_reading import fill_of, place, stroke_at
from rhythms.engine.takes.struck_at_once import Caught, at_once
from rhythms.engine.takes.touch_levels import TouchLevels
from tests.engine.takes.simulated_player import KEYS, Confusion, Errors, play
from tests.strategies import fills
from tests.thoroughness import amount, examples

FOUR = Meter.parse("4/4")
KIT = Kit.standard()
EVEN = TouchLevels(0, 128)
SNARE, FLOOR_TOM, HIGH_TOM, RIDE = (
    Surface.SNARE,
    Surface.FLOOR_TOM,
    Surface.HIGH_TOM,
    Surface.RIDE,
)
CRASH, BASS_DRUM, HI_HAT_FOOT = Surface.CRASH, Surface.BASS_DRUM, Surface.HI_HAT_FOOT
TEMPO = 100
QUARTER = 60_000 / TEMPO
GRID = Grid.steady(FOUR, TEMPO, 0.0, CLICK)
UNISON = stroke_of([Hit(SNARE), Hit(FLOOR_TOM)])
CRASHED = stroke_of([Hit(CRASH), Hit(BASS_DRUM, "RF")])
#: Snare and floor tom, snare, crash with the bass drum, snare.
FILL = Fill(Bar.from_counts("1 2 3 4"), (UNISON, Stroke(SNARE), CRASHED, Stroke(SNARE)))


def played(fill: Fill, *, tempo: float = TEMPO, jitter: float = 0.0, seed: int = 1):
    """Every hit of every stroke at its time, or up to ``jitter`` ms from it."""
    random = Random(seed)
    return sorted(
        TimedHit(float(note.onset) * 60_000 / tempo + random.uniform(-jitter, jitter), surface, 80)
        for note, stroke in zip(fill.bar.sounded, fill.strokes, strict=True)
        for surface in stroke.surfaces
    )


def read(hits: Iterable[TimedHit], grid: Grid = GRID) -> Fill:
    return fill_of(place(sorted(hits), grid), grid.meter, KIT, EVEN)


def strokes(fill: Fill) -> list:
    return [
        (note.onset, stroke.surfaces)
        for note, stroke in zip(fill.bar.sounded, fill.strokes, strict=True)
    ]


def without(hits: list[TimedHit], surface: Surface, at: float) -> list[TimedHit]:
    return [hit for hit in hits if hit.surface is not surface or hit.ms != at * QUARTER]


def held(hits: Iterable[TimedHit], fill: Fill = FILL) -> Attempt:
    return attempt(fill, sorted(hits), GRID, 0)


# --- what is together ------------------------------------------------------------------


def test_two_drums_24_ms_apart_are_one_stroke():
    (stroke,) = read([TimedHit(0, SNARE, 80), TimedHit(24, FLOOR_TOM, 80)]).strokes
    assert stroke.surfaces == (SNARE, FLOOR_TOM)


def test_two_drums_45_ms_apart_are_two_strokes():
    fill = read([TimedHit(0, SNARE, 80), TimedHit(45, FLOOR_TOM, 80)])
    assert [stroke.surfaces for stroke in fill.strokes] == [(SNARE,), (FLOOR_TOM,)]


def test_a_foot_40_ms_before_the_hand_is_under_it():
    (stroke,) = read([TimedHit(560, BASS_DRUM, 80), TimedHit(600, SNARE, 80)]).strokes
    assert stroke.surfaces == (SNARE, BASS_DRUM)


def test_the_nearest_strokes_find_each_other_first():
    """20 ms after a hit comes the next, and 15 ms after that a third: the last two are closer."""
    assert [list(group) for group in moments([0, 20, 35], "abc")] == [[0], [1, 2]]


def test_no_moment_has_one_drum_twice_or_is_longer_than_it_may_be():
    assert [list(group) for group in moments([0, 10], "aa")] == [[0], [1]]
    assert [list(group) for group in moments([0, 12, 24, 36], "abcd")] == [[0, 1, 2], [3]]


@examples(200, quick=40)
@given(st.lists(st.floats(0, 300), max_size=12).map(sorted), st.data())
def test_moments_are_all_strokes_in_order_each_once(times, data):
    drums = [data.draw(st.sampled_from("abc")) for _ in times]
    found = moments(times, drums)
    assert [place for group in found for place in group] == list(range(len(times)))
    for group in found:
        assert times[group[-1]] - times[group[0]] <= 25
        assert len({drums[place] for place in group}) == len(group)


@examples(100)
@given(
    fills(ornaments=False, together=True, coarse=True).filter(
        lambda fill: bool(fill.strokes) and all(stroke.ornament is None for stroke in fill.strokes)
    ),
    st.floats(60, 110),
)
def test_strokes_together_played_exactly_are_read_back_as_they_were(fill, tempo):
    grid = Grid.steady(fill.bar.meter, tempo, 0.0, CLICK)
    assert strokes(read(played(fill, tempo=tempo), grid)) == strokes(fill)


@pytest.mark.parametrize("tempo", [60, 90, 120])
@examples(60)
@given(seed=st.integers(0, 10_000))
def test_strokes_together_up_to_10_ms_off_are_read_back_as_they_were(tempo, seed):
    fill = together_on(Bar.from_counts("1 & 2 e & a 3 trip let 4 & a"), seed)
    grid = Grid.steady(FOUR, tempo, 0.0, CLICK)
    hits = played(fill, tempo=tempo, jitter=10, seed=seed)
    assert strokes(read(hits, grid)) == strokes(fill)


def together_on(bar: Bar, seed: int) -> Fill:
    """One or two hands on each note, and now and then the bass drum under them."""
    random = Random(seed)
    made = []
    for _ in bar.sounded:
        hands = random.sample([SNARE, HIGH_TOM, FLOOR_TOM, RIDE, CRASH], random.choice([1, 1, 2]))
        feet = [Hit(BASS_DRUM, "RF")] if random.random() < 0.3 else []
        made.append(stroke_of([*map(Hit, hands), *feet]))
    return Fill(bar, tuple(made))


# --- what a player can have struck -----------------------------------------------------


def test_of_three_drums_at_once_the_two_loudest_are_kept():
    found = at_once([Caught(SNARE, 90), Caught(RIDE, 20), Caught(FLOOR_TOM, 80)], KIT, EVEN)
    assert found.stroke.surfaces == (SNARE, FLOOR_TOM)
    assert [one.surface for one in found.left_out] == [RIDE]


def test_both_feet_go_under_both_hands():
    caught = [Caught(one, 80) for one in (HI_HAT_FOOT, SNARE, BASS_DRUM, RIDE)]
    assert at_once(caught, KIT, EVEN).stroke.surfaces == (SNARE, RIDE, BASS_DRUM, HI_HAT_FOOT)


def test_head_and_rim_of_one_drum_are_one_hit():
    found = at_once([Caught(SNARE, 70), Caught(Surface.RIM_SHOT, 110)], KIT, EVEN)
    assert found.stroke.surfaces == (Surface.RIM_SHOT,)
    assert [one.surface for one in found.twice] == [SNARE]


def test_a_flam_has_no_room_beside_the_other_hand():
    found = at_once([Caught(SNARE, 90, "flam"), Caught(FLOOR_TOM, 80)], KIT, EVEN)
    assert found.stroke.ornament is None
    assert [one.surface for one in found.plain] == [SNARE]


def test_stick_on_stick_takes_both_hands():
    found = at_once([Caught(Surface.STICKS, 90), Caught(RIDE, 80)], KIT, EVEN)
    assert found.stroke.surfaces == (Surface.STICKS,)


def test_each_hit_has_a_touch_of_its_own():
    caught = [Caught(SNARE, 30), Caught(FLOOR_TOM, 120)]
    found = at_once(caught, KIT, TouchLevels(40, 110)).stroke
    assert [hit.dynamic for hit in found.hits] == ["ghost", "accent"]


def test_two_hands_on_one_drum_over_a_foot_are_a_flam():
    hits = [TimedHit(0, SNARE, 40), TimedHit(20, BASS_DRUM, 80), TimedHit(30, SNARE, 90)]
    stroke = stroke_at(hits, KIT, EVEN).stroke
    assert (stroke.surfaces, stroke.ornament) == ((SNARE, BASS_DRUM), "flam")


def test_two_hands_50_ms_apart_on_one_drum_are_a_flam_and_no_32nd():
    (stroke,) = read([TimedHit(850, SNARE, 40), TimedHit(900, SNARE, 90)]).strokes
    assert stroke.ornament == "flam"


def test_what_is_finer_than_any_count_is_not_lost():
    """Two strokes 70 ms apart where a 32nd lasts 125: nearest to one count, and both are kept."""
    grid = Grid.steady(FOUR, 60, 0.0, CLICK)
    (stroke,) = read([TimedHit(960, SNARE, 90), TimedHit(1020, SNARE, 90)], grid).strokes
    assert stroke.ornament == "flam"


def test_three_on_one_drum_are_a_drag():
    hits = [TimedHit(0, SNARE, 40), TimedHit(35, SNARE, 40), TimedHit(70, SNARE, 90)]
    assert stroke_at(hits, KIT, EVEN).stroke.ornament == "drag"


# --- held against what was meant -------------------------------------------------------


def test_a_fill_with_strokes_together_is_right_hit_by_hit():
    found = held(played(FILL))
    assert [len(note.hits) for note in found.notes] == [2, 1, 2, 1]
    assert (found.count("right"), found.extras, found.likeness) == (6, (), 1)


def test_one_hit_of_two_that_is_missing_is_missed_by_itself():
    found = held(without(played(FILL), FLOOR_TOM, 0))
    assert [hit.outcome for hit in found.notes[0].hits] == ["right", "missed"]
    assert found.notes[0].outcome == "missed"
    assert (found.count("right"), found.count("missed")) == (5, 1)


def test_one_hit_of_two_on_another_drum_is_wrong_by_itself():
    hits = [*without(played(FILL), FLOOR_TOM, 0), TimedHit(0, RIDE, 80)]
    found = held(hits)
    assert [(hit.outcome, hit.played) for hit in found.notes[0].hits] == [
        ("right", SNARE),
        ("wrong", RIDE),
    ]


def test_a_second_drum_that_nobody_asked_for_is_one_too_many():
    found = held([*played(FILL), TimedHit(QUARTER, FLOOR_TOM, 80)])
    assert [(extra.quarters, extra.surface) for extra in found.extras] == [(1, FLOOR_TOM)]
    assert found.count("right") == 6


def test_a_foot_does_not_stand_in_for_a_hand():
    found = held(
        [
            TimedHit(hit.ms, BASS_DRUM if hit.surface is CRASH else hit.surface, 80)
            for hit in played(FILL)
        ]
    )
    assert [hit.outcome for hit in found.notes[2].hits] == ["missed", "right"]


def test_a_rim_shot_on_the_drum_that_was_meant_is_right():
    hits = [
        hit._replace(surface=Surface.RIM_SHOT) if hit.surface is SNARE else hit
        for hit in played(FILL)
    ]
    assert held(hits).count("right") == 6


def test_a_unison_that_is_20_ms_apart_is_still_all_there():
    hits = [
        hit._replace(ms=hit.ms + 20) if hit.surface is FLOOR_TOM else hit for hit in played(FILL)
    ]
    assert held(hits).count("right") == 6


def test_the_foot_that_belongs_to_the_fill_may_be_too_much_and_the_other_one_not():
    hits = [*played(FILL), TimedHit(QUARTER, BASS_DRUM, 80), TimedHit(QUARTER, HI_HAT_FOOT, 80)]
    assert [extra.surface for extra in held(hits).extras] == [BASS_DRUM]


def test_each_hit_is_kept_with_the_take():
    found = held(without(played(FILL), FLOOR_TOM, 0)).to_json()["notes"]
    assert found[0]["outcome"] == "missed"
    assert [(hit["surface"], hit["outcome"]) for hit in found[0]["hits"]] == [
        ("snare", "right"),
        ("floor tom", "missed"),
    ]
    assert "hits" not in found[1]


def recording(hits: Iterable[TimedHit], **known) -> Recording:
    events = [(hit.ms, KEYS[hit.surface], hit.velocity) for hit in sorted(hits)]
    return Recording(events, FOUR, KIT, click=(TEMPO, 0.0), **known)


def test_a_take_of_a_fill_gives_the_fill_as_it_came_out():
    space = FillSpace(FILL.bar, RuleSet.from_json([]), KIT)
    (found,) = analyse(recording(played(FILL)), FILL, space).fills
    assert found.strokes == FILL.without_hands().strokes


def test_a_second_hand_elsewhere_is_in_what_came_out():
    hits = [hit._replace(surface=RIDE) if hit.surface is FLOOR_TOM else hit for hit in played(FILL)]
    (found,) = analyse(recording(hits), FILL).fills
    assert found.strokes[0].surfaces == (SNARE, RIDE)


def test_a_free_take_gives_a_fill_with_strokes_together():
    (found,) = analyse(recording(played(FILL, jitter=8))).fills
    assert strokes(found) == strokes(FILL)


def test_feet_are_told_from_hands_in_how_early_they_are():
    """The bass drum of each of 16 strokes comes 30 ms before its hand."""
    stroke = stroke_of([Hit(SNARE), Hit(BASS_DRUM, "RF")])
    fill = Fill(Bar.from_counts("1 & 2 & 3 & 4 &"), (stroke,) * 8)
    hits = [
        hit._replace(ms=hit.ms - 30) if hit.surface is BASS_DRUM else hit for hit in played(fill)
    ]
    groups = {group.name: group for group in analyse(recording(hits), fill).groups}
    assert groups["hands"].bias - groups["feet"].bias == pytest.approx(30, abs=1)


# --- feet that keep going --------------------------------------------------------------

GOING = replace(
    Fill(Bar.from_counts("1 2 3 4"), (Stroke(SNARE),) * 4),
    ostinato=ostinato_named("hi-hat foot on 2 and 4", FOUR),
)


def feet_at(*beats: float) -> list[TimedHit]:
    return [TimedHit(beat * QUARTER, HI_HAT_FOOT, 60) for beat in beats]


def test_feet_that_keep_going_are_expected_and_found():
    found = held([*played(GOING), *feet_at(1, 3)], GOING)
    assert [(foot.quarters, foot.outcome) for foot in found.feet] == [(1, "right"), (3, "right")]
    assert (found.count("right"), found.extras) == (4, ())


def test_a_foot_that_stops_is_missed_and_makes_no_note_wrong():
    found = held([*played(GOING), *feet_at(1)], GOING)
    assert [foot.outcome for foot in found.feet] == ["right", "missed"]
    assert (found.count("right"), found.complete) == (4, True)


def test_the_same_foot_elsewhere_is_one_too_many_and_the_other_foot_is_free():
    hits = [*played(GOING), *feet_at(1, 2, 3), TimedHit(0, BASS_DRUM, 80)]
    assert [(one.quarters, one.surface) for one in held(hits, GOING).extras] == [(2, HI_HAT_FOOT)]


def test_a_fill_without_feet_of_its_own_comes_out_without_those_that_keep_going():
    hits = [*without(played(GOING), SNARE, 2), *feet_at(1, 3)]
    (found,) = analyse(recording(hits), GOING).fills
    assert found.surfaces == {SNARE}


# --- again and again -------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(3))
def test_a_fill_with_strokes_together_is_the_same_fill_each_time(seed):
    """Else what a student always plays would count as many things."""
    take = play(FILL, 90, Errors(jitter=7), seed, loops=6)
    recorded = Recording(take.events, FOUR, KIT, click=(90, take.start))
    found = analyse(recorded).fills
    assert len(found) == 6
    assert {tuple(strokes(fill)) for fill in found} == {tuple(strokes(FILL))}


@pytest.mark.parametrize("click", [True, False], ids=["click", "no click"])
def test_errors_in_fills_with_strokes_together_are_found(click):
    """Made-up players drop and swap hits; a note is as bad as the worst of its hits."""
    table = Confusion()
    for seed in range(amount(12, 5)):
        fill = together_on(Bar.from_counts("1 & 2 e & a 3 & 4 e & a"), seed)
        take = play(fill, 90, Errors(jitter=9, drops=0.06, swaps=0.06), seed)
        start = (90, take.start) if click else None
        found = analyse(Recording(take.events, FOUR, KIT, click=start, tempo=90), fill).attempts
        for truth, one in zip(take.outcomes, found, strict=False):
            for meant, note in zip(truth, one.notes, strict=True):
                table.add(meant, note.outcome)
        assert len(found) == len(take.outcomes)
    for name in ("right", "missed", "wrong"):
        assert table.count(name) >= 5
        assert table.precision(name) >= 0.9, name
        assert table.recall(name) >= 0.9, name
