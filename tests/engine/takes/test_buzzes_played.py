"""Takes of fills with buzzes: a stick that bounces sends many hits for one stroke."""

from __future__ import annotations

from random import Random

import pytest

from rhythms.engine import Fill, Meter, Stroke, Surface
from rhythms.engine.playback.timeline import fill_timeline
from rhythms.engine.rudiments.rudiment_fill import rudiment_fill
from rhythms.engine.rudiments.rudiment_table import RUDIMENTS
from rhythms.engine.takes.grid import CLICK, Grid
from rhythms.engine.takes.hits import TimedHit, bounces
from rhythms.engine.takes.matching import Attempt, attempt
from tests.thoroughness import amount

FOUR = Meter.parse("4/4")
ROLL = rudiment_fill(next(one for one in RUDIMENTS if one.name == "Multiple Bounce Roll"))
VELOCITY = {"ghost": 30, "normal": 85, "accent": 118}


def played(fill: Fill, tempo: float, *, late: float = 0.0, seed: int = 1) -> list[TimedHit]:
    """As a hand does it: strokes and bounces a few ms off, some bounces too weak to be caught."""
    random, struck, hits = Random(seed), set(), []
    for sound in fill_timeline(fill):
        bounce = sound.note in struck and not sound.grace
        struck |= set() if sound.grace else {sound.note}
        if bounce and random.random() < 0.3:
            continue
        ms = float(sound.onset) * 60_000 / tempo + late + random.gauss(0, 4)
        hits.append(TimedHit(ms, sound.surface, VELOCITY[sound.dynamic] + random.randint(-5, 5)))
    return sorted(hits)


def held_against(fill: Fill, hits: list[TimedHit], tempo: float) -> Attempt:
    return attempt(fill, hits, Grid.steady(FOUR, tempo, 0, CLICK), 0)


@pytest.mark.parametrize("tempo", [60, 80, 100, 120])
@pytest.mark.parametrize("late", [-25.0, 0.0, 25.0])
def test_all_strokes_of_a_multiple_bounce_roll_are_right_and_its_bounces_no_extra_ones(tempo, late):
    for seed in range(amount(60, 10)):
        found = held_against(ROLL, played(ROLL, tempo, late=late, seed=seed), tempo)
        assert (found.count("right"), found.extras) == (8, ())
        assert all(note.off == pytest.approx(late, abs=20) for note in found.notes)


def test_a_stroke_that_was_left_out_is_missed():
    hits = [hit for hit in played(ROLL, 80) if not 740 < hit.ms < 1120]
    found = held_against(ROLL, hits, 80)
    assert [note.note for note in found.notes if note.outcome == "missed"] == [2]


def test_a_stroke_on_another_drum_in_the_middle_of_a_buzz_is_one_too_many():
    hits = sorted([*played(ROLL, 80), TimedHit(180, Surface.FLOOR_TOM, 90)])
    assert [extra.surface for extra in held_against(ROLL, hits, 80).extras] == [Surface.FLOOR_TOM]


def test_a_soft_note_after_a_buzz_is_still_a_note():
    strokes = [stroke._replace(ornament=None, dynamic="ghost") for stroke in ROLL.strokes]
    strokes[::2] = ROLL.strokes[::2]
    mixed = Fill(ROLL.bar, tuple(strokes))
    assert held_against(mixed, played(mixed, 80), 80).count("right") == 8


def test_only_softer_hits_that_follow_closely_on_one_surface_bounce():
    snare, tom = Surface.SNARE, Surface.HIGH_TOM
    hits = [
        TimedHit(0, snare, 90),
        TimedHit(30, snare, 30),
        TimedHit(40, tom, 30),
        TimedHit(70, snare, 28),
        TimedHit(100, snare, 88),
        TimedHit(250, snare, 30),
    ]
    assert bounces(hits) == (False, True, False, True, False, False)


def test_soft_hits_that_nothing_buzzes_for_are_judged_as_before():
    plain = Fill(ROLL.bar, tuple(Stroke(Surface.SNARE) for _ in ROLL.strokes))
    hits = sorted(
        [*played(plain, 80), TimedHit(40, Surface.SNARE, 30), TimedHit(190, Surface.SNARE, 30)]
    )
    assert len(held_against(plain, hits, 80).extras) == 2
