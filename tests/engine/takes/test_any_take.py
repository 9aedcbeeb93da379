"""Whatever a device or a file can send is analysed: nothing of it breaks the analysis."""

from __future__ import annotations

import json
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.bench.take_cases import dear
from rhythms.engine import Bar, Fill, FillSpace, Kit, Meter, RuleSet, Stroke, Surface
from rhythms.engine.takes import ESTIMATED, Recording, analyse, hear, split
from rhythms.engine.takes.hits import MOST_MS, MOST_STROKES
from rhythms.engine.takes.locate import MOST_STARTS, _spoken_for, locate
from tests.engine.takes.simulated_player import KEYS
from tests.strategies import fills
from tests.thoroughness import amount, examples

KIT = Kit.standard()
TEMPOS = st.none() | st.sampled_from([30, 80, 240]) | st.floats(0.001, 1e8)
KEY = st.integers(0, 127) | st.sampled_from(sorted(KEYS.values()))
VELOCITY = st.integers(0, 127)
#: A take whose fill was found at a tempo that was not tried again.
FOUND_ONCE = [
    *[(0, 38), (375, 42), (562.5, 48), (750, 42), (937.5, 42), (1125, 38), (1500, 38)],
    *[(1875, 45), (2062.5, 42), (2250, 45), (2437.5, 38)],
]


def recorded(*steps: tuple[float, int]) -> list[tuple[float, int, int]]:
    return [(ms, key, 80) for ms, key in steps]


def on_surfaces(counts: str, *names: str) -> Fill:
    return Fill(Bar.from_counts(counts), tuple(Stroke(Surface(name)) for name in names))


def test_a_fill_that_is_only_just_found_has_a_grid():
    fill = on_surfaces("1 2 & 3 & 4", "snare", "cowbell", "mid tom", "snare", "cowbell", "ride")
    grid = locate(fill, hear(recorded(*FOUND_ONCE), {}).hits, None)
    assert grid is not None
    assert len(grid.anchors) == 2


@st.composite
def events(draw: st.DrawFn) -> list[tuple[float, int, int]]:
    """One stroke or many; at once, a moment or minutes apart; now and then in a steady pulse."""
    apart = draw(
        st.sampled_from(
            [
                st.just(0.0),
                st.floats(0, 40),
                st.floats(0, 1_000),
                st.floats(0, 400_000),
                st.sampled_from([125.0, 250.0, 500.0]),
            ]
        )
    )
    steps = draw(st.lists(st.tuples(apart, KEY, VELOCITY), min_size=1, max_size=80))
    at, found = draw(st.floats(0, 2_000)), []
    for step, key, velocity in steps * draw(st.sampled_from([1, 1, 1, 3])):
        at += step
        found.append((at, key, velocity))
    return draw(st.permutations(found)) if draw(st.booleans()) else found


@st.composite
def takes(draw: st.DrawFn) -> tuple[Recording, Fill | None]:
    """A take of a fill, or free, however it was caught and in whatever meter."""
    meter = Meter(draw(st.integers(1, 15)), draw(st.sampled_from([4, 8])))
    start = st.floats(-60_000, 900_000)
    recording = Recording(
        draw(events()),
        meter,
        draw(st.sampled_from([KIT, Kit.of(["snare"]), Kit.standard(left_handed=True)])),
        click=draw(st.none() | st.tuples(st.sampled_from([30, 80, 240, 6e7, 0.01]), start)),
        of_file=draw(st.booleans()),
        tempo=draw(TEMPOS),
        stated_tempo=draw(st.none() | TEMPOS),
        latency=draw(st.none() | st.floats(-500, 500)),
        jitter=draw(st.floats(0, 20)),
        keys=draw(st.dictionaries(KEY, st.sampled_from(list(Surface)), max_size=6)),
    )
    return recording, draw(st.none() | fills())


@examples(4_000, quick=80)
@given(takes(), st.booleans())
def test_any_take_is_analysed(take, under_rules):
    recording, fill = take
    space = None
    if fill and under_rules:
        rules = RuleSet.from_json([{"rule": "at most in a row", "n": 2}])
        space = FillSpace(fill.bar, rules, KIT)
    found = analyse(recording, fill, space)
    assert found.strokes <= len(recording.events)
    assert json.loads(json.dumps(found.to_json(), allow_nan=False)) == found.to_json()
    assert all(Fill.from_json(one.to_json()) == one for one in found.fills)


@pytest.mark.parametrize("case", dear()[:: amount(1, 5)], ids=lambda case: case.name)
def test_the_dearest_takes_are_analysed(case):
    assert case.analyse().strokes > 0


def test_a_take_is_read_up_to_its_limits_and_says_how_much_comes_after():
    long = recorded(*[(30.0 * place, 38) for place in range(MOST_STROKES)], (MOST_MS + 1.0, 42))
    found = analyse(Recording(long * 1, Meter(4, 4), KIT))
    assert (found.strokes, found.unread) == (MOST_STROKES, 1)


def test_keys_let_go_take_no_room_from_strokes():
    let_go = [(float(ms), 38, 0) for ms in range(MOST_STROKES)]
    assert hear([*let_go, (MOST_MS, 38, 80)], {}).unread == 0


def test_a_tempo_that_nobody_plays_is_no_grid():
    found = analyse(Recording(recorded(*FOUND_ONCE), Meter(4, 4), KIT, click=(6e7, 0.0)))
    assert found.grid is not None
    assert found.grid.known == ESTIMATED


def test_a_click_that_nobody_plays_is_none_where_there_is_nothing_else():
    found = analyse(Recording(recorded(*FOUND_ONCE[:2]), Meter(4, 4), KIT, click=(6e7, 0.0)))
    assert found.grid is None


def test_the_groove_is_sought_among_the_commonest_bars_alone(monkeypatch):
    compared = []
    real = split.same
    monkeypatch.setattr(split, "same", lambda *two: compared.append(two) or real(*two))
    monkeypatch.setattr(split, "MOST_MODELS", 5)
    random = Random(3)
    hats = [(250.0 * eighth, 42) for eighth in range(8 * 100)]
    kicks = [(125.0 * place, 36) for place in range(16 * 100) if random.random() < 0.4]
    analyse(Recording(recorded(*hats, *kicks), Meter(4, 4), KIT, click=(120, 0.0)))
    assert 100 < len(compared) < 1_000


def test_of_very_many_starts_those_with_the_most_strokes_are_tried():
    import numpy as np

    votes = np.ones(3 * MOST_STARTS, dtype=np.intp)
    votes[-40:] = 9
    tried = _spoken_for(votes, 8)
    assert len(tried) == MOST_STARTS
    assert set(range(len(votes) - 40, len(votes))) <= set(tried.tolist())
