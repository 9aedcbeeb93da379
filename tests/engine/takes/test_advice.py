"""After a take: planted faults are told as what they are, and noise is told as nothing else."""

import pytest

from rhythms.bench.planted_faults import PLACES, Planted, a_fill, advice_on, played, told_of_noise
from rhythms.engine import Fill, Surface
from rhythms.engine.takes.advice import (
    AHEAD,
    ALL_CAME,
    BEHIND,
    NO_ONE_PLACE,
    ONCE,
    TOO_FAST,
    UNEVEN,
    Advice,
    advise,
)
from rhythms.engine.takes.advice_words import in_a_sentence
from rhythms.engine.takes.note_faults import (
    ACCENT_LOST,
    EARLY,
    GHOST_LOUD,
    LATE,
    LEFT_OUT,
    OTHER_DRUM,
    TOO_MUCH,
    TimesThrough,
    at_least,
)
from tests.thoroughness import amount

FILL = a_fill(3)  # 1 & 2 e & a 3 & a 4 e & a
THREE, ALL = frozenset({0, 1, 3}), frozenset(range(4))
ACCENTS = a_fill(5, rules=({"rule": "dynamics", "position": "on the beat", "dynamic": "accent"},))
GHOSTS = a_fill(5, rules=({"rule": "dynamics", "counts": ["2 e", "4 a"], "dynamic": "ghost"},))
NOTE = 7  # the & of 3


def told(planted: Planted, fill: Fill = FILL, seed: int = 11) -> Advice:
    advice = advice_on(fill, played(fill, planted, seed))
    assert advice
    return advice


def other_than(surface: Surface) -> Surface:
    return Surface.SNARE if surface is not Surface.SNARE else Surface.FLOOR_TOM


PLANTED = {
    LEFT_OUT: Planted(left_out={NOTE: THREE}),
    LATE: Planted(late={NOTE: (45.0, THREE)}),
    "far too late": Planted(late={NOTE: (72.0, THREE)}),
    EARLY: Planted(late={NOTE: (-40.0, ALL)}),
    OTHER_DRUM: Planted(elsewhere={NOTE: (other_than(FILL.strokes[NOTE].surface), THREE)}),
    TOO_MUCH: Planted(too_much={NOTE: ALL}),
}


@pytest.mark.parametrize("kind", PLANTED)
@pytest.mark.parametrize("seed", range(3))
def test_a_planted_fault_is_told_at_its_place_and_none_other(kind, seed):
    advice = told(PLANTED[kind], seed=seed)
    assert (advice.kind, advice.notes) == (LATE if kind == "far too late" else kind, (NOTE,))
    assert advice.times == len(ALL if kind in (EARLY, TOO_MUCH) else THREE)
    assert advice.part
    assert NOTE in advice.part.notes


@pytest.mark.parametrize(("run", "kind"), [(-90.0, AHEAD), (90.0, BEHIND)])
def test_a_run_ahead_or_behind_is_told_as_one(run, kind):
    advice = told(Planted(run=run))
    assert advice.kind == kind
    assert abs(advice.amount - abs(run)) < 25


def test_two_notes_beside_each_other_are_told_together():
    advice = told(Planted(late={NOTE: (45.0, THREE), NOTE + 1: (45.0, THREE)}))
    assert (advice.kind, advice.notes, advice.times) == (LATE, (NOTE, NOTE + 1), 3)


def test_an_accent_that_is_lost_is_told():
    note = next(n for n, stroke in enumerate(ACCENTS.strokes) if n and stroke.dynamic == "accent")
    advice = told(Planted(as_soft_as_all={note: ALL}), ACCENTS)
    assert (advice.kind, advice.notes) == (ACCENT_LOST, (note,))


def test_a_ghost_note_that_is_loud_is_told():
    note = next(n for n, stroke in enumerate(GHOSTS.strokes) if stroke.dynamic == "ghost")
    advice = told(Planted(as_soft_as_all={note: ALL}), GHOSTS)
    assert (advice.kind, advice.notes) == (GHOST_LOUD, (note,))


def test_what_all_came_goes_on_to_a_higher_tempo():
    advice = told(Planted())
    assert (advice.kind, advice.times, advice.tempo, advice.part) == (ALL_CAME, 4, 92, None)


def test_one_time_through_says_nothing_of_places():
    assert told(Planted(left_out={NOTE: ALL}, times=1)).kind == ONCE


def test_what_happened_once_is_not_told():
    assert told(Planted(left_out={NOTE: frozenset({2})})).kind == NO_ONE_PLACE


def test_where_a_third_is_missing_it_is_too_fast():
    assert told(Planted(drops=0.45)).kind == TOO_FAST


def test_strokes_that_spread_are_uneven():
    assert told(Planted(spread=34.0), seed=4).kind == UNEVEN


def test_what_was_left_out_comes_before_what_came_late():
    advice = told(Planted(left_out={3: ALL}, late={NOTE: (45.0, ALL)}))
    assert (advice.kind, advice.notes) == (LEFT_OUT, (3,))


def test_nothing_finer_than_the_device_is_told():
    fill, late = FILL, Planted(late={NOTE: (45.0, ALL)})
    assert advice_on(fill, played(fill, late, 1), jitter=25.0).kind == ALL_CAME


def test_an_unsteady_device_does_not_make_strokes_uneven():
    spread = Planted(spread=28.0)
    advice = advice_on(FILL, played(FILL, spread, 4), jitter=45.0)
    assert advice.kind != UNEVEN


def test_nothing_is_told_of_nothing():
    assert advise(TimesThrough(FILL, []), 88, told_by_a_click=True) is None


def test_a_run_is_not_told_without_a_click():
    recording = played(FILL, Planted(run=-90.0), 11)
    assert advice_on(FILL, recording).kind == AHEAD
    attempts = [_even_slope(90.0)] * 4
    without = advise(TimesThrough(FILL, attempts), 88, told_by_a_click=False)
    assert without.kind not in (AHEAD, BEHIND)


def _even_slope(gain: float) -> dict:
    length = float(FILL.bar.meter.length)
    notes = [
        {"outcome": "right", "off": gain * float(note.onset) / length, "astray": None}
        for note in FILL.bar.sounded
    ]
    return {"notes": notes, "extras": []}


def test_a_slower_tempo_is_never_under_thirty():
    advice = advise(
        TimesThrough(FILL, [_without(NOTE)] * 4),
        32,
        told_by_a_click=True,
    )
    assert advice.tempo == 30


def _without(missing: int) -> dict:
    right = {"outcome": "right", "off": 0.0, "astray": None}
    missed = {"outcome": "missed", "off": None, "astray": None}
    notes = [missed if n == missing else right for n in range(len(FILL.strokes))]
    return {"notes": notes, "extras": []}


def test_noise_alone_is_hardly_ever_told_as_a_place():
    """Of players without a habit, at spreads that people have: at most 1 in 20 takes."""
    takes = amount(thorough=200, quick=24)
    told = told_of_noise(takes, 8.0, 0.0, 0.0) + told_of_noise(takes, 15.0, 0.02, 0.01)
    assert told.total() == 2 * takes
    assert sum(told[kind] for kind in PLACES) <= 2 * takes / 20


def test_the_chance_of_as_many_is_that_of_a_binomial_count():
    assert at_least(0, 4, 0.3) == pytest.approx(1.0)
    assert at_least(4, 4, 0.5) == pytest.approx(1 / 16)


SENTENCES = {
    LEFT_OUT: "The & of 3 was left out in 3 of 4: play just the notes around it, at 66, "
    "until it is there.",
    LATE: "The & of 3 came late in 3 of 4: play just the notes around it, at 66, until it sits.",
    TOO_MUCH: "After the & of 3 one stroke too much came on the ride in 4 of 4: "
    "play just the notes around it, at 62, and count aloud.",
}


@pytest.mark.parametrize("kind", SENTENCES)
def test_advice_is_one_sentence(kind):
    assert in_a_sentence(told(PLANTED[kind]), FILL) == SENTENCES[kind]


def test_two_notes_in_a_sentence():
    advice = told(Planted(late={NOTE: (45.0, THREE), NOTE + 1: (45.0, THREE)}))
    assert in_a_sentence(advice, FILL) == (
        "The & of 3 and the a of 3 came late in 3 of 4: play just these two, at 66, until they sit."
    )


def test_the_tempo_asked_for_is_the_end_of_it():
    advice = told(Planted())
    assert in_a_sentence(advice, FILL, goal=120).endswith("take it to 92.")
    assert in_a_sentence(advice, FILL, goal=88).endswith("on to another fill.")


def test_what_goes_elsewhere_names_both_drums():
    sentence = in_a_sentence(told(PLANTED[OTHER_DRUM]), FILL)
    meant, struck = FILL.strokes[NOTE].surface, other_than(FILL.strokes[NOTE].surface)
    assert f"went to the {struck} instead of the {meant} in 3 of 4" in sentence


@pytest.mark.parametrize(
    "planted",
    [*PLANTED.values(), Planted(), Planted(run=90.0), Planted(drops=0.45), Planted(spread=34.0)],
)
def test_no_sentence_blames_or_shouts(planted):
    sentence = in_a_sentence(told(planted), FILL)
    assert sentence.count(".") == 1
    assert not any(word in sentence.lower() for word in ("!", "wrong", "bad", "mistake", "failed"))
