"""Free takes: groove told from fills, and fills whole, over as many bars as they go."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Fill, FillSpace, Kit, Meter, RuleSet, Stroke, Surface, draw
from rhythms.engine.bars.meter import MOST_BARS
from rhythms.engine.fills.fill import Hit, snare_fill, stroke_of
from rhythms.engine.kits.surfaces import FEET
from rhythms.engine.playback.groove_library import grooves_for
from rhythms.engine.takes import CLICK, Grid, Recording, TimedHit, analyse
from rhythms.engine.takes.played_phrases import PlayedPhrase, phrases_in
from rhythms.engine.takes.split import FEWEST, Split, split
from rhythms.engine.takes.stroke_reading import PlacedHit, place
from tests.engine.takes.simulated_player import VELOCITY, Errors, play
from tests.thoroughness import amount, examples

FOUR = Meter.parse("4/4")
KIT = Kit.standard()
TEMPO = 100
GRID = Grid.steady(FOUR, TEMPO, 0.0, CLICK)
S, H, F, X, R, C, K, P = (
    Surface.SNARE,
    Surface.HIGH_TOM,
    Surface.FLOOR_TOM,
    Surface.HI_HAT,
    Surface.RIDE,
    Surface.CRASH,
    Surface.BASS_DRUM,
    Surface.HI_HAT_FOOT,
)
#: Grooves in which a hand keeps time; the others are known only where fills leave them.
KEPT = [
    groove
    for groove in grooves_for(FOUR)
    if groove.name not in ("rock on the floor tom", "linear 16ths", "train", "16ths hand to hand")
]


def bars(*each: Sequence[tuple[float, Surface]]) -> list[PlacedHit]:
    """Strokes at counts from 1 on, a list a bar."""
    return [
        PlacedHit(
            number, Fraction(at - 1), 0.0, TimedHit(2400.0 * number + 600 * (at - 1), surface, 80)
        )
        for number, bar in enumerate(each)
        for at, surface in bar
    ]


def on(surface: Surface, *counts: float) -> list[tuple[float, Surface]]:
    return [(count, surface) for count in counts]


EIGHTHS = [1 + k / 2 for k in range(8)]
GROOVE = sorted(on(X, *EIGHTHS) + on(K, 1, 3) + on(S, 2, 4))
ONE = on(S, 1, 1.5, 2) + on(H, 2.5, 3) + on(F, 3.5, 4)
OTHER = on(F, 1, 1.75, 2.5) + on(S, 3, 3.25, 3.75, 4.5)
THIRD = on(H, 1.5, 2, 2.25) + on(S, 2.75, 3.5, 4.25)


def found_in(*each: Sequence[tuple[float, Surface]]) -> Split:
    return split(bars(*each), FOUR)


def spans(found: Split) -> list[tuple[int, int]]:
    return [(one.bar, one.meter.bars) for one in found.phrases]


# --- groove or fill --------------------------------------------------------------------


@pytest.mark.parametrize("surface", [X, R, Surface.OPEN_HI_HAT])
def test_a_bar_that_keeps_time_alone_is_a_fill(surface):
    found = found_in(on(surface, *EIGHTHS) + on(S, 2, 4))
    assert (found.groove, spans(found)) == ((), [(0, 1)])


def test_two_like_bars_that_a_hand_keeps_are_a_groove():
    found = found_in(GROOVE, GROOVE, ONE)
    assert (found.groove, spans(found)) == ((0, 1), [(2, 1)])


def test_two_bars_that_keep_time_each_in_its_own_way_are_a_phrase():
    found = found_in(on(X, 1, 2, 3, 4) + on(S, 1.5, 2.5), on(R, 1, 2, 3) + on(F, 3.5, 4.25, 4.5))
    assert spans(found) == [(0, 2)]


def test_a_foot_that_keeps_time_makes_no_groove():
    foot = on(P, 1, 2, 3, 4)
    found = found_in(ONE + foot, OTHER + foot)
    assert (found.groove, spans(found)) == ((), [(0, 2)])


def test_hats_between_the_beats_keep_time():
    ska = on(X, 1.5, 2.5, 3.5, 4.5) + on(K, 1, 3)
    assert found_in(ska, ska, ONE, ska, ska, OTHER).groove == (0, 1, 3, 4)


def test_hats_between_the_beats_of_a_fill_are_not_a_groove_that_has_them_on_the_beats():
    hats = (
        on(X, 1.5, 3.5, 4.5) + on(S, 2, 2.25, 2.75, 4, 4.25, 4.75) + on(Surface.CROSS_STICK, 1, 3)
    )
    found = found_in(GROOVE, GROOVE, GROOVE, hats)
    assert (found.groove, spans(found)) == ((0, 1, 2), [(3, 1)])


def test_what_keeps_time_on_a_drum_is_a_groove_that_comes_back():
    toms = on(F, *EIGHTHS) + on(S, 2, 4)
    found = found_in(toms, toms, ONE, THIRD, toms, toms, ONE, THIRD, on(C, 1) + on(K, 1))
    assert (found.groove, spans(found)) == ((0, 1, 4, 5), [(2, 2), (6, 2)])


def test_a_fill_that_keeps_time_is_not_the_groove_where_something_else_is_there_more_often():
    toms = on(F, *EIGHTHS) + on(S, 2, 4)
    hats = on(X, 1, 2, 3, 4) + on(S, 1.5, 3.75)
    assert found_in(*(toms, toms, toms, hats) * 3).groove == (0, 1, 2, 4, 5, 6, 8, 9, 10)


def test_a_bar_of_groove_with_a_fill_in_its_last_beats_is_a_bar_of_fill():
    late = on(X, 1, 1.5, 2, 2.5, 3, 3.5) + on(K, 1, 3) + on(S, 2, 4) + on(F, 4.25, 4.5, 4.75)
    (phrase,) = found_in(GROOVE, GROOVE, late, GROOVE).phrases
    assert (phrase.bar, min(each.onset for each in phrase.placed)) == (2, 3)


def test_a_busier_beat_of_what_keeps_time_is_still_groove():
    busy = sorted([*GROOVE, *on(X, 4.25, 4.75)])
    assert found_in(GROOVE, GROOVE, busy, GROOVE).groove == (0, 1, 2, 3)


def test_a_fill_that_ends_before_its_bar_does_ends_where_the_groove_is_back():
    back = (
        on(S, 1, 1.25, 1.75)
        + on(F, 2, 2.25, 2.5)
        + on(H, 2.75)
        + [cell for cell in GROOVE if cell[0] >= 3]
    )
    (phrase,) = found_in(GROOVE, GROOVE, back, GROOVE).phrases
    assert (phrase.bar, max(each.onset for each in phrase.placed)) == (2, Fraction(7, 4))


# --- phrases ---------------------------------------------------------------------------


@pytest.mark.parametrize("number", [1, 2, 3, 4])
def test_bars_of_fill_in_a_row_are_one_phrase(number):
    found = found_in(*(ONE, OTHER, THIRD, on(S, 1, 2.25, 3.75))[:number])
    assert spans(found) == [(0, number)]


def test_a_bar_that_is_played_again_begins_the_fill_anew():
    assert spans(found_in(ONE, ONE, ONE)) == [(0, 1), (1, 1), (2, 1)]


def test_a_slip_in_one_of_many_times_makes_no_longer_phrase():
    assert spans(found_in(ONE, ONE, OTHER, ONE)) == [(0, 1), (1, 1), (2, 1), (3, 1)]


def test_two_bars_that_are_played_again_begin_a_phrase_of_two_bars_anew():
    assert spans(found_in(*(ONE, OTHER) * 3)) == [(0, 2), (2, 2), (4, 2)]


def test_one_bar_that_is_repeated_in_a_solo_begins_a_phrase():
    last = on(S, 1, 2.25, 3.75)
    assert spans(found_in(ONE, ONE, OTHER, THIRD, last)) == [(0, 1), (1, 4)]


def solo(random: Random, number: int) -> list[list[tuple[float, Surface]]]:
    places = [1 + k / 4 for k in range(1, 15)]
    return [
        sorted((at, random.choice((S, H, F))) for at in [1, *random.sample(places, 8), 4.75])
        for _ in range(number)
    ]


def test_a_long_solo_is_divided_where_there_is_a_crash_on_one():
    made = solo(Random(1), 6)
    made[2] = on(C, 1) + on(K, 1) + made[2][1:]
    made[3][0] = (1, S)
    assert spans(found_in(*made)) == [(0, 2), (2, 4)]


def test_a_long_solo_is_divided_where_the_hands_rest():
    made = solo(Random(2), 6)
    made[2] = [cell for cell in made[2] if cell[0] < 3.5]
    assert spans(found_in(*made)) == [(0, 3), (3, 3)]


@pytest.mark.parametrize("number", [5, 8, 9, 13])
def test_a_solo_is_divided_into_as_few_phrases_as_there_can_be(number):
    found = spans(found_in(*solo(Random(number), number)))
    assert len(found) == -(-number // MOST_BARS)
    assert sum(long for _, long in found) == number


def test_a_silent_bar_parts_two_phrases():
    assert spans(found_in(ONE, [], OTHER)) == [(0, 1), (2, 1)]


def test_a_rest_as_long_as_a_bar_parts_two_phrases_wherever_it_lies():
    early = on(S, 1, 1.5, 2)
    assert spans(found_in(early, on(F, 2, 3, 4))) == [(0, 1), (1, 1)]
    assert spans(found_in(early, on(F, 1.75, 3, 4))) == [(0, 2)]


@pytest.mark.parametrize(
    "landing",
    [on(C, 1) + on(K, 1), on(C, 1), on(K, 1), on(X, 1) + on(P, 2, 4)],
    ids=["crash and bass drum", "crash", "bass drum", "hi-hat, then its foot"],
)
def test_a_landing_is_no_fill_and_no_bar_of_one(landing):
    assert spans(found_in(ONE, landing)) == [(0, 1)]


def test_a_fill_that_ends_on_a_drum_behind_the_bar_line_has_that_stroke():
    (phrase,) = found_in(ONE, on(F, 1)).phrases
    assert (phrase.meter.bars, len(phrase.placed)) == (2, len(ONE) + 1)


def test_an_upbeat_is_the_pick_up_of_its_phrase():
    (phrase,) = found_in(on(S, 4, 4.5), ONE).phrases
    assert (phrase.bar, phrase.meter) == (0, FOUR.after_pickup(1))


def test_an_upbeat_in_a_bar_of_groove_is_the_pick_up_of_its_phrase():
    lead = [cell for cell in GROOVE if cell[0] < 4] + on(F, 4.25, 4.5, 4.75)
    found = found_in(GROOVE, GROOVE, lead, ONE, GROOVE)
    assert [(one.bar, one.meter.pickup) for one in found.phrases] == [(2, 1)]
    assert found.groove == (0, 1, 4)


def test_bars_of_one_beat_have_no_upbeat():
    """The first stroke is late in its bar, which has no part that could be left out."""
    meter = Meter.parse("1/4")
    hits = [TimedHit(0, Surface.SNARE, 80)] * 4
    late = {
        0: [PlacedHit(0, Fraction(1, 2), 0.0, hits[0]), PlacedHit(0, Fraction(3, 4), 0.0, hits[1])],
        1: [PlacedHit(1, Fraction(0), 0.0, hits[2]), PlacedHit(1, Fraction(1, 4), 0.0, hits[3])],
    }
    (phrase,) = phrases_in(late, meter)
    assert phrase.meter == meter.over(2)


def test_a_phrase_that_begins_early_in_its_bar_has_that_bar_whole():
    (phrase,) = found_in(on(S, 2, 3, 3.5), ONE).phrases
    assert phrase.meter == FOUR.over(2)


def test_two_strokes_are_no_fill():
    assert found_in(on(S, 1, 3)) == Split((), ())


# --- whole takes -----------------------------------------------------------------------

LENGTHS = {
    1: "(1) (2) (3) 4 e & a",
    2: "(1) (2) 3 e & a 4 & a",
    3: "(1) 2 & 3 e & a 4 &",
    4: "1 & 2 e & a 3 & 4 e & a",
    5: "(1) (2) (3) 4 e & a | 1 & 2 e & a 3 & 4 e & a",
    6: "(1) (2) 3 e & a 4 & a | 1 & 2 e & a 3 & 4 e & a",
    7: "(1) 2 & 3 e & a 4 & | 1 & 2 e & a 3 & 4 e & a",
    8: "1 e & 2 & a 3 e & a 4 & | 1 & 2 e & a 3 & 4 e & a",
}


def on_drums(counts: str) -> Fill:
    """Down the drums, in threes: nothing of it keeps time."""
    bar = Bar.from_counts(counts)
    return Fill(bar, tuple(Stroke((F, H, S)[k // 3 % 3]) for k in range(len(bar.sounded))))


def taken(fill: Fill, errors: Errors, seed: int = 1, **of) -> Recording:
    played = play(fill, 95, errors, seed, **of)
    return Recording(played.events, FOUR, KIT, click=(95, played.start))


def struck(fill: Fill) -> list[tuple[Fraction, tuple[Surface, ...]]]:
    """From the first bar line."""
    return [
        (note.onset - fill.bar.meter.bar_line, stroke.surfaces)
        for note, stroke in zip(fill.bar.sounded, fill.strokes, strict=True)
    ]


@pytest.mark.parametrize("beats", LENGTHS)
@pytest.mark.parametrize("groove", KEPT[:: amount(1, 4)], ids=lambda groove: groove.name)
def test_fills_of_any_number_of_beats_are_told_from_the_groove_before_them(groove, beats):
    fill = on_drums(LENGTHS[beats])
    found = analyse(taken(fill, Errors(jitter=10), beats, loops=3, groove=groove))
    own = fill.bar.meter.bars
    assert len(found.fills) == 3
    for number, (bar, one) in enumerate(zip(found.fill_bars, found.fills, strict=True)):
        assert bar + one.bar.meter.bars == 4 * number + 4
        begins = 4 * bar + one.bar.starts_at
        assert begins - (16 * number + 16 - 4 * own) >= fill.bar.starts_at - 1
    assert {4 * k + place for k in range(3) for place in range(4 - own)} <= set(found.groove_bars)


@pytest.mark.parametrize("groove", grooves_for(FOUR)[:: amount(1, 4)], ids=lambda one: one.name)
def test_a_known_fill_of_two_bars_is_read_back_from_its_block(groove):
    fill = on_drums(LENGTHS[8])
    found = analyse(taken(fill, Errors(jitter=6), 3, loops=2, groove=groove))
    assert (found.fill_bars, found.fills) == ((2, 6), (fill, fill))


def test_feet_flams_and_touches_of_two_bars_are_read_back():
    bar = Bar.from_counts("1 & 2 e & a 3 & 4 & | 1 e & a 2 & 3 & 4")
    on_it = [stroke_of([Hit(S, None, "accent"), Hit(K, "RF")]), Stroke(S, None, "ghost")]
    on_it += [stroke_of([Hit(S), Hit(F)]), Stroke(K, "RF"), Stroke(H), stroke_of([Hit(F)])]
    on_it += [stroke_of([Hit(X), Hit(P, "LF")]), Stroke(S, None, "normal", "flam")]
    fill = Fill(bar, tuple(on_it[k % len(on_it)] for k in range(len(bar.sounded))))
    found = analyse(taken(fill, Errors(jitter=4), 3, loops=2, bars=4))
    assert found.fills == (fill, fill)


@pytest.mark.parametrize("seed", range(amount(12, 3)))
def test_a_phrase_of_two_bars_as_drummers_play_them_is_one_phrase(seed):
    space = FillSpace(Bar.from_counts(LENGTHS[8]), RuleSet.from_json([]), KIT)
    (fill,) = draw(space, 1, seed, 1.0)
    found = analyse(taken(fill, Errors(jitter=8), seed, loops=1, bars=2))
    assert [struck(one) for one in found.fills] == [struck(fill)]


def test_a_fill_of_two_bars_again_and_again_alone_is_that_fill_each_time():
    """Each time but the first it begins with the landing of the one before."""
    fill = on_drums(LENGTHS[8])
    found = analyse(taken(fill, Errors(jitter=6), 2, loops=4, bars=2))
    assert found.fill_bars == (0, 2, 4, 6)
    assert [struck(one)[1:] for one in found.fills] == [struck(fill)[1:]] * 4


def test_a_take_of_a_fill_of_two_bars_has_its_groove_in_single_bars():
    fill = snare_fill(Bar.from_counts(LENGTHS[8]))
    found = analyse(taken(fill, Errors(jitter=5), 2, loops=2), fill)
    assert [one.bar for one in found.attempts] == [1, 3]
    assert found.groove_bars == (0, 1, 4, 5)


def test_where_another_fill_was_meant_a_free_one_is_read_bar_by_bar():
    recording = taken(on_drums(LENGTHS[4]), Errors(jitter=5), 2, loops=2)
    meant = Fill(Bar.from_counts("1 2 3 4 | 1 2 3 4"), (Stroke(Surface.COWBELL),) * 8)
    found = analyse(recording, meant)
    assert (found.attempts, found.fill_bars) == ((), (3, 7))
    assert found.groove_bars == (0, 1, 2, 4, 5, 6)


# --- how steady ------------------------------------------------------------------------


def test_how_steady_each_fill_was_is_kept_with_it():
    fill = on_drums(LENGTHS[8])
    found = analyse(taken(fill, Errors(jitter=12), 5, loops=6))
    assert len(found.fill_spreads) == 6
    assert sum(found.fill_spreads) / 6 == pytest.approx(12, abs=3)
    assert found.to_json()["fill_spreads"] == [round(one, 1) for one in found.fill_spreads]


def test_each_attempt_at_a_fill_says_how_steady_it_was():
    fill = on_drums(LENGTHS[8])
    spreads = analyse(taken(fill, Errors(jitter=12), 5, loops=6), fill).fill_spreads
    assert len(spreads) == 6
    assert sum(spreads) / 6 == pytest.approx(12, abs=3)


def test_of_few_strokes_nobody_says_how_steady_they_were():
    assert analyse(taken(on_drums("1 & 2 & 3 & 4"), Errors(), loops=1)).fill_spreads == (None,)


def test_the_first_stroke_of_a_flam_is_not_unsteady():
    flams = Fill(Bar.from_counts("1 & 2 & 3 & 4 &"), (Stroke(S, ornament="flam"),) * 8)
    (spread,) = analyse(taken(flams, Errors(jitter=0), loops=1)).fill_spreads
    assert spread == pytest.approx(0, abs=1)


# --- whatever is played ----------------------------------------------------------------

SURFACES = [S, H, F, X, R, C, K, P]


@examples(300, quick=60)
@given(
    st.lists(
        st.lists(
            st.tuples(st.sampled_from([k / 4 for k in range(16)]), st.sampled_from(SURFACES)),
            max_size=12,
        ),
        max_size=8,
    ),
    st.lists(st.integers(0, 7), max_size=12),
)
def test_every_bar_is_groove_part_of_one_phrase_or_too_empty(made, order):
    """Bars come again and again in any order."""
    played = [made[k % len(made)] for k in order] if made else []
    hits = [
        TimedHit(2400.0 * number + 600 * at, surface, VELOCITY["normal"])
        for number, bar in enumerate(played)
        for at, surface in sorted(set(bar))
    ]
    placed = place(sorted(hits), GRID)
    found = split(placed, FOUR)
    _hold(found, placed)
    assert sorted(found.fill_bars) == [bar for one in found.phrases for bar in one.bars]
    assert not found.fill_bars & set(found.groove)
    if found.groove:
        return  # up to where it is left, a bar of fill has strokes of the groove
    for bar in {each.bar for each in placed} - found.fill_bars:
        by_hand = {each.onset for each in placed if each.bar == bar and _by_hand(each)}
        assert len(by_hand - {0}) < FEWEST


def _by_hand(each: PlacedHit) -> bool:
    return each.hit.surface not in FEET


def _hold(found: Split, placed: Sequence[PlacedHit]) -> None:
    assert all(1 <= one.meter.bars <= MOST_BARS for one in found.phrases)
    assert all(a.bars.stop <= b.bar for a, b in pairwise(found.phrases))
    known = {(each.bar * 4 + each.onset, each.hit) for each in placed}
    for one in found.phrases:
        assert _strokes(one) <= known
        assert all(one.meter.opens_at <= each.onset < one.meter.length for each in one.placed)


def _strokes(phrase: PlayedPhrase) -> set[tuple[Fraction, TimedHit]]:
    return {(phrase.bar * 4 + each.onset, each.hit) for each in phrase.placed}
