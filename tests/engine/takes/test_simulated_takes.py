"""Made-up takes with known errors: precision and recall of each class, printed and held."""

from __future__ import annotations

import sys

import pytest

from rhythms.engine import Bar, Fill, FillSpace, Kit, Meter, RuleSet
from rhythms.engine.playback.groove_library import grooves_for
from rhythms.engine.takes import CLICK, ESTIMATED, Recording, analyse
from tests.engine.takes.simulated_player import Confusion, Errors, play
from tests.thoroughness import amount

BARS = (
    ("1 & 2 e & a 3 & 4 e & a", "4/4"),
    ("1 e & a 2 & 3 e & a 4", "4/4"),
    ("1 trip let 2 trip let 3 & 4", "4/4"),
    ("1 2 & 3 4 5 & 6 &", "6/8"),
    ("1 & 2 e & a 3", "3/4"),
    ("(1) (2) 3 e & a 4 e & a", "4/4"),
)
TWO_BARS = ("1 & 2 e & a 3 & 4 | 1 & 2 & 3 e & a 4", "4/4")
WITH_PICKUPS = (("4 & | 1 & 2 e & a 3 & 4", "4/4"), ("& | 1 & 2 3 4 & 5 6", "6/8"))
FINER = (
    ("1 ka di mi ti 2 & 3 e & trip let 4", "4/4"),
    ("1 & 2 & a ta 3 ta e & 4", "4/4"),
    ("1 & 2 3 4 5 & 6 7", "7/8 (3+2+2)"),
)
TEMPOS = (70, 100, 126)
SEEDS = amount(3, 2)
COMMON = {"jitter": 10.0, "drops": 0.08, "swaps": 0.08, "extras": 0.15}


def fills(seeds: int, bars: tuple[tuple[str, str], ...] = BARS) -> list[tuple[int, float, Fill]]:
    found = []
    for number, (counts, meter) in enumerate(bars):
        space = FillSpace(Bar.from_counts(counts, meter), RuleSet.from_json([]), Kit.standard())
        for seed, fill in enumerate(space.sample(seeds, seed=number)):
            found.append((100 * seed + number, TEMPOS[(seed + number) % 3], fill))
    return found


def confusion(
    errors: Errors,
    *,
    click: bool,
    bars: int = 4,
    seeds: int = SEEDS,
    of: tuple[tuple[str, str], ...] = BARS,
) -> Confusion:
    """Attempts that are not found count each of their notes as missed."""
    table = Confusion()
    for seed, tempo, fill in fills(seeds, of):
        played = play(fill, tempo, errors, seed, bars=bars)
        recording = Recording(
            played.events,
            fill.bar.meter,
            Kit.standard(),
            click=(tempo, played.start) if click else None,
            tempo=tempo,
        )
        found = analyse(recording, fill).attempts
        for number, truth in enumerate(played.outcomes):
            verdicts = (
                [note.outcome for note in found[number].notes]
                if number < len(found)
                else ["missed"] * len(truth)
            )
            for each in zip(truth, verdicts, strict=True):
                table.add(*each)
        called = {extra.hit.ms for one in found for extra in one.extras}
        for ms in played.extras:
            table.add("extra", "extra" if ms in called else "none")
        for _ in called - played.extras:
            table.add("none", "extra")
    return table


def hold(table: Confusion, least: float) -> None:
    sys.stdout.write(f"\n{table.table()}\n")
    for name in ("right", "missed", "wrong", "extra"):
        assert table.count(name) >= 5, f"no {name} to find: the test would say nothing"
        assert table.precision(name) >= least, name
        assert table.recall(name) >= least, name


@pytest.mark.parametrize("click", [True, False])
def test_a_fill_of_two_bars_is_held_against_both(click):
    errors = Errors(**{**COMMON, "extras": 0.3})
    hold(confusion(errors, click=click, seeds=3 * SEEDS, of=(TWO_BARS,)), 0.93)


@pytest.mark.parametrize("click", [True, False], ids=["click", "no click"])
@pytest.mark.parametrize("bars", [WITH_PICKUPS, FINER], ids=["pick-ups", "finer values"])
def test_pickups_finer_values_and_groups_are_held_against_what_is_written(bars, click):
    errors = Errors(**{**COMMON, "extras": 0.3})
    hold(confusion(errors, click=click, seeds=2 * SEEDS, of=bars), 0.93)


@pytest.mark.parametrize("click", [True, False], ids=["click", "no click"])
def test_every_class_of_error_is_found_with_and_without_a_click(click):
    hold(confusion(Errors(**COMMON), click=click), 0.95)


@pytest.mark.parametrize("click", [True, False], ids=["click", "no click"])
def test_a_device_that_delays_everything_changes_no_verdict(click):
    hold(confusion(Errors(**COMMON, late=60), click=click), 0.95)


@pytest.mark.parametrize("click", [True, False], ids=["click", "no click"])
def test_a_fill_alone_over_and_over_is_found(click):
    hold(confusion(Errors(**COMMON), click=click, bars=1, seeds=SEEDS + 1), 0.95)


def test_a_player_who_slows_down_after_a_pickup_is_followed():
    errors = Errors(**COMMON, drift=0.006, pickup=True)
    hold(confusion(errors, click=False), 0.95)


def test_a_little_drift_against_the_click_costs_no_note():
    hold(confusion(Errors(**COMMON, drift=0.001, pickup=True), click=True), 0.95)


def test_many_errors_at_once_are_still_found():
    table = confusion(Errors(jitter=14, drops=0.15, swaps=0.15, extras=0.2), click=True)
    hold(table, 0.9)


def test_a_perfect_take_has_no_error_at_all():
    table = confusion(Errors(jitter=3), click=True)
    assert table.seen.keys() == {("right", "right")}


def test_the_spread_that_was_put_in_is_found():
    seed, tempo, fill = fills(1)[0]
    played = play(fill, tempo, Errors(jitter=12), seed, loops=8)
    click = (tempo, played.start)
    recording = Recording(played.events, fill.bar.meter, Kit.standard(), click, latency=0.0)
    timing = analyse(recording, fill).timing
    # The standard error of a standard deviation over 96 strokes is about 0.9 ms.
    assert timing.spread == pytest.approx(12, abs=3)
    assert timing.bias == pytest.approx(0, abs=4)


@pytest.mark.parametrize("late", [-45, 0, 45])
def test_the_bias_that_was_put_in_is_found_and_judged_on_a_measured_device(late):
    seed, tempo, fill = fills(1)[0]
    played = play(fill, tempo, Errors(jitter=5, late=late), seed, loops=4)
    click = (tempo, played.start)
    recording = Recording(played.events, fill.bar.meter, Kit.standard(), click, latency=0.0)
    timing = analyse(recording, fill).timing
    assert timing.bias == pytest.approx(late, abs=4)
    assert timing.verdict == {-45: "early", 0: "on the click", 45: "late"}[late]


def test_without_a_measured_device_nobody_is_called_late():
    seed, tempo, fill = fills(1)[0]
    played = play(fill, tempo, Errors(jitter=5, late=45), seed)
    recording = Recording(
        played.events, fill.bar.meter, Kit.standard(), click=(tempo, played.start)
    )
    timing = analyse(recording, fill).timing
    assert timing.verdict == ""
    assert timing.bias == pytest.approx(45, abs=6)


def test_the_measured_delay_of_a_device_is_taken_off():
    seed, tempo, fill = fills(1)[0]
    played = play(fill, tempo, Errors(jitter=5, late=80), seed)
    click = (tempo, played.start)
    recording = Recording(played.events, fill.bar.meter, Kit.standard(), click, latency=80.0)
    timing = analyse(recording, fill).timing
    assert timing.bias == pytest.approx(0, abs=4)
    assert timing.verdict == "on the click"


def test_groove_bars_are_told_from_the_fill_of_the_block():
    seed, tempo, fill = fills(1)[0]
    played = play(fill, tempo, Errors(jitter=5), seed, bars=4, loops=2)
    recording = Recording(
        played.events, fill.bar.meter, Kit.standard(), click=(tempo, played.start)
    )
    found = analyse(recording, fill)
    assert [one.bar for one in found.attempts] == [3, 7]
    assert found.groove_bars == (0, 1, 2, 4, 5, 6)


def test_who_leaves_the_click_altogether_is_held_against_their_own_tempo():
    seed, tempo, fill = fills(1)[0]
    played = play(fill, tempo * 1.12, Errors(jitter=5), seed)
    recording = Recording(
        played.events, fill.bar.meter, Kit.standard(), click=(tempo, played.start), tempo=tempo
    )
    found = analyse(recording, fill)
    assert found.grid.known == ESTIMATED
    assert found.grid.tempo == pytest.approx(tempo * 1.12, rel=0.02)
    assert [one.count("right") for one in found.attempts] == [len(fill.strokes)] * 2


def test_who_stays_with_the_click_is_held_against_it():
    seed, tempo, fill = fills(1)[0]
    played = play(fill, tempo, Errors(jitter=15), seed)
    recording = Recording(
        played.events, fill.bar.meter, Kit.standard(), click=(tempo, played.start), tempo=tempo
    )
    assert analyse(recording, fill).grid.known == CLICK


@pytest.mark.parametrize("tempo", [63, 92, 118])
def test_a_free_take_without_a_click_gives_tempo_and_fill(tempo):
    _, _, fill = fills(1)[0]
    played = play(fill, tempo, Errors(jitter=6), 5, bars=4, loops=2)
    found = analyse(Recording(played.events, fill.bar.meter, Kit.standard()))
    assert found.grid.tempo == pytest.approx(tempo, rel=0.02)
    assert len(found.fills) == 2


@pytest.mark.parametrize("drift", [-0.0002, 0.0002])
@pytest.mark.parametrize("meter", ["4/4", "6/8"])
def test_a_long_free_take_without_a_click_is_followed_to_its_end(meter, drift):
    """Sixteen blocks, in which the tempo wanders by more than one part in a hundred."""
    _, _, fill = next(one for one in fills(1) if str(one[2].bar.meter) == meter)
    played = play(fill, 110, Errors(jitter=12, drift=drift), 4, bars=4, loops=16)
    found = analyse(Recording(played.events, fill.bar.meter, Kit.standard()))
    assert len(found.fills) == 16
    assert len(found.groove_bars) == 48


GROOVES = [
    (groove, counts)
    for counts, meter in (*BARS[1:], ("1 2 & 3 4 & 5 6 & 7", "7/8"), ("1 & 2 & 3 e & a 4 5", "5/4"))
    for groove in grooves_for(Meter.parse(meter))
]


@pytest.mark.parametrize(
    ("groove", "counts"), GROOVES, ids=lambda part: getattr(part, "name", str(part))
)
def test_every_groove_of_the_library_is_told_from_the_fill_after_it(groove, counts):
    meter = groove.meter.one_bar
    bar = Bar.from_counts(counts, meter)
    (fill,) = FillSpace(bar, RuleSet.from_json([]), Kit.standard()).sample(1, 3)
    played = play(fill, 95, Errors(jitter=12, drops=0.05), 4, loops=3, groove=groove)
    found = analyse(Recording(played.events, meter, Kit.standard(), click=(95, played.start)))
    assert found.fill_bars == (3, 7, 11)
    assert found.groove_bars == (0, 1, 2, 4, 5, 6, 8, 9, 10)


def test_strokes_strewn_wider_than_the_window_are_not_called_right():
    """The tables above can fail: at this spread every fifth stroke leaves its window."""
    table = confusion(Errors(jitter=45), click=True)
    sys.stdout.write(f"\n{table.table()}\n")
    assert table.recall("right") < 0.9
