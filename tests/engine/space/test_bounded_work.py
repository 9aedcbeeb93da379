"""Any rule set that can be sent is counted, explained or refused within bounds on work."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.bench.hostile_rules import eight_forbidden, hostile_space
from rhythms.engine import Bar, FillSpace, Kit
from rhythms.engine.errors import TooManyStatesError
from rhythms.engine.rules.base import Automaton
from rhythms.engine.space import automata, graph, lattice, unrolled
from rhythms.engine.space.conflict import _TRY, _Tries, clash_of, conflict_in_words
from rhythms.engine.space.work import MOST_BYTES, Work
from tests.engine.rules_at_random import bars, kits, rule_sets
from tests.engine.space.test_conflict import TWO_BEATS
from tests.engine.space.test_fill_space import space_of
from tests.thoroughness import examples

slowly = examples(60, quick=4)


def work_of_counting(space: FillSpace) -> int | None:
    """The units it took; None where it was refused."""
    try:
        return space.graph.work.done
    except TooManyStatesError:
        return None


@slowly
@given(st.integers(0, 10**6), st.booleans())
def test_a_space_is_counted_or_refused_the_same_each_time(seed, together):
    first, again = (work_of_counting(hostile_space(seed, together=together)) for _ in range(2))
    assert first == again


@slowly
@given(st.integers(0, 10**6), st.booleans())
def test_the_counts_of_a_space_take_no_more_memory_than_allowed(seed, together):
    space = hostile_space(seed, together=together)
    if work_of_counting(space) is not None:
        layers = space.graph.layers
        held = sum(limb.nbytes for layer in layers for limb in layer.completions_after.limbs)
        assert held <= MOST_BYTES


@slowly
@given(st.integers(0, 10**6), st.booleans())
def test_a_space_without_fills_is_explained_and_the_explanation_never_fails(seed, together):
    space = hostile_space(seed, together=together)
    if work_of_counting(space) is not None:
        assert bool(conflict_in_words(space)) == (space.size == 0)


@pytest.mark.parametrize("ways", [1, 2, 3, 4])
def test_eight_surfaces_forbidden_in_several_ways_each_are_a_clash_of_eight(ways):
    clash = clash_of(eight_forbidden(ways))
    assert len({rule.to_json()["surfaces"]["anything but"][0] for rule in clash.rules}) == 8
    assert (len(clash.rules), clash.minimal) == (8, True)


@examples(100, quick=30)
@given(bars, rule_sets, kits)
def test_of_a_minimal_clash_no_rule_can_be_spared(bar, rules, kit):
    space = space_of(*rules, bar=bar, kit=kit)
    clash = clash_of(space)
    for rule in clash.rules:
        others = [each for each in clash.rules if each != rule]
        assert space.graph_of(others).size > 0


CLASHING = [
    {"rule": "at most in a row", "n": 1},
    {"rule": "use at most", "surfaces": 2},
    {"rule": "start on", "surfaces": ["snare"]},
    {"rule": "end on", "surfaces": ["snare"]},
]


def test_a_clash_that_was_not_searched_to_the_end_is_said_to_be_a_clash():
    space = eight_forbidden(4)
    assert not clash_of(space).smallest
    assert conflict_in_words(space).endswith(
        "cannot hold together on this bar and kit. Other rules of the set may clash as well."
    )


def test_a_search_that_is_cut_short_says_so_and_what_to_do():
    space = space_of(*CLASHING, bar=TWO_BEATS)
    clash = clash_of(space, Work(0))
    assert clash.rules == space.rule_set.rules
    assert not clash.minimal
    assert "too much to work out: take one out" in conflict_in_words(space, Work(0))


def test_of_many_rules_it_says_how_many_of_them_cannot_hold():
    space = hostile_space(53)
    clash = clash_of(space)
    assert not clash.minimal
    assert 8 < len(clash.rules) < len(set(space.rule_set.rules))
    assert conflict_in_words(space).startswith(
        f"{len(clash.rules)} of these rules cannot hold together on this bar and kit."
    )
    assert conflict_in_words(space, Work(0)).startswith("These rules cannot hold together")


def test_one_try_that_is_too_dear_leaves_work_for_others():
    work = Work(100_000)
    tries = _Tries(space_of(*CLASHING, bar=TWO_BEATS), work)
    assert tries.leave_nothing(tries.space.rule_set.rules) is None
    assert work.left >= work.units * (1 - _TRY)


def test_where_something_was_refused_nothing_smaller_is_done_instead():
    work = Work(10)
    with pytest.raises(TooManyStatesError):
        work.spend(11)
    assert (work.done, work.left) == (10, 0)


WATCHED = [{"rule": "hands apart"}, {"rule": "visit at least", "surfaces": 4}]
COUNTED_OFF = [{"rule": "dynamics", "dynamic": dynamic, "n": 3} for dynamic in ("accent", "ghost")]


@pytest.mark.parametrize(
    ("module", "bound", "rules"),
    [
        (lattice, "MOST_STATES", WATCHED),
        (automata, "_MOST_TRANSITIONS", WATCHED),
        (automata, "_MOST_PAIRS", WATCHED),
        (unrolled, "_MOST_TRANSITIONS", COUNTED_OFF),
        (graph, "MOST_BYTES", WATCHED),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_more_than_the_memory_has_room_for_is_refused(monkeypatch, module, bound, rules):
    assert space_of(*rules).size > 0
    monkeypatch.setattr(module, bound, 10)
    with pytest.raises(TooManyStatesError):
        _ = space_of(*rules).size


def test_states_are_told_apart_that_a_code_of_64_bits_would_confuse():
    """A million to the eleventh is a multiple of 2 to the 64th: what is in front would be lost."""
    columns = np.zeros((12, 3), dtype=np.int64)
    columns[0] = 0, 1, 1
    numbers, first = unrolled._numbered(columns, [10**6] * 12)
    assert (numbers.tolist(), first.tolist()) == ([0, 1, 1], [0, 1])


def automata_of(space: FillSpace) -> list[Automaton]:
    bound = [rule.bind(space.setting) for rule in space.rule_set.rules]
    return [each.automaton for each in bound if each.automaton]


@examples(100, quick=30)
@given(bars, rule_sets, kits)
def test_strokes_that_look_alike_to_an_automaton_step_alike(bar, rules, kit):
    space = space_of(*rules, bar=bar, kit=kit)
    for automaton in automata_of(space):
        state = automaton.start
        for note, strokes in enumerate(space.within_reach):
            after = {}
            for stroke in strokes:
                seen = automaton.sees(stroke)
                stepped = automaton.step(state, note, stroke)
                assert after.setdefault(seen, stepped) == stepped
            state = next((each for each in after.values() if each is not None), state)


def test_a_rule_about_a_few_notes_costs_nothing_before_and_after_them():
    """Twelve beats with one accent each: one count at a time, not twelve side by side."""
    line = " ".join(f"{beat} e & a" for beat in range(1, 13))
    once_a_beat = [
        {
            "rule": "dynamics",
            "dynamic": "accent",
            "n": 1,
            "counts": [f"{beat}{part}" for part in ("", " e", " &", " a")],
        }
        for beat in range(1, 13)
    ]
    space = space_of(*once_a_beat, bar=Bar.from_counts(line, "12/4"), kit=Kit.of(["snare"]))
    assert space.size == 4**12
    assert space.graph.states == 2
