"""Each rudiment in its bar: whole statements, by either hand, as its own rule lays it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

import pytest

from rhythms.engine import Bar, FillSpace, Kit, RuleSet
from rhythms.engine.rudiments.letters import Letter, read_letters
from rhythms.engine.rudiments.rudiment_fill import rudiment_fill
from rhythms.engine.rudiments.rudiment_table import OWN_RHYTHM, RUDIMENTS, Rudiment


def not_so(holds: Callable[[Rudiment], bool]) -> list[str]:
    """The rudiments for which it does not hold."""
    return [rudiment.name for rudiment in RUDIMENTS if not holds(rudiment)]


def test_a_length_stands_for_each_letter_of_a_statement():
    def sounding(one: Rudiment) -> int:
        return sum(not is_rest for _, is_rest in one.lengths)

    assert not_so(lambda one: sounding(one) == len(one.statement)) == []


def test_whole_statements_fill_each_bar():
    def whole(one: Rudiment) -> bool:
        times = one.over.length / sum(length for length, _ in one.lengths)
        strokes = len(rudiment_fill(one).strokes)
        return times.denominator == 1 and strokes == times * len(one.statement)

    assert not_so(whole) == []


def test_where_the_lead_alternates_both_hands_lead_in_the_bar():
    def both(one: Rudiment) -> bool:
        return len(rudiment_fill(one).strokes) % len(one.cycle) == 0

    assert not_so(lambda one: not one.alternates or both(one)) == []


def on_the_snare(one: Rudiment, lead: str) -> list[dict]:
    return [
        {"rule": "sticking", "rudiment": one.said, "lead": lead, "accents": "rudiment"},
        {"rule": "placement", "surfaces": ["snare"]},
    ]


@pytest.mark.parametrize("lead", ["R", "L"])
def test_its_rule_over_its_bar_on_the_snare_leaves_it_and_nothing_else(lead):
    def alone(one: Rudiment) -> bool:
        meant = rudiment_fill(one, lead)
        space = FillSpace(meant.bar, RuleSet.from_json(on_the_snare(one, lead)), Kit.standard())
        return (space.size, space.fill(0)) == (1, meant)

    assert not_so(alone) == []


def test_its_rule_accents_a_bar_that_has_no_accents_of_its_own():
    def alike(one: Rudiment) -> bool:
        meant = rudiment_fill(one)
        plain = Bar(meant.bar.meter, tuple(replace(n, accent=False) for n in meant.bar.notes))
        space = FillSpace(plain, RuleSet.from_json(on_the_snare(one, "R")), Kit.standard())
        return space.size == 1 and space.fill(0).strokes == meant.strokes

    assert not_so(alike) == []


def test_the_other_hand_leads_the_same_with_every_hand_swapped():
    other = {"L": "R", "R": "L"}

    def swapped(one: Rudiment) -> bool:
        right, left = (rudiment_fill(one, lead) for lead in "RL")
        return right.bar == left.bar and right.strokes == tuple(
            stroke._replace(limb=other[stroke.limb]) for stroke in left.strokes
        )

    assert not_so(swapped) == []


@pytest.mark.parametrize("strokes", [5, 7, 9, 11, 13, 15, 17])
def test_a_roll_of_so_many_strokes_is_measured_in_32nds_up_to_its_release(strokes):
    names = {5: "Five", 7: "Seven", 9: "Nine", 11: "Eleven"} | {
        13: "Thirteen", 15: "Fifteen", 17: "Seventeen"
    }  # fmt: skip
    roll = next(one for one in RUDIMENTS if one.name == f"{names[strokes]} Stroke Roll")
    *rolled, release = rudiment_fill(roll).bar.sounded[:strokes]
    assert {note.value for note in rolled} == {"32nd"}
    assert [note.onset for note in rolled] == [Fraction(k, 8) for k in range(strokes - 1)]
    assert release.onset == Fraction(strokes - 1, 8)
    assert release.accent
    assert release.length > Fraction(1, 8)


def test_what_goes_over_any_notes_is_of_even_notes_or_taught_so():
    uneven = [
        one.name
        for one in RUDIMENTS
        if one.goes != OWN_RHYTHM and len({length for length, _ in one.lengths}) > 1
    ]
    assert uneven == ["Six Stroke Roll"]


def test_letters_are_read_as_the_sheet_writes_them():
    assert read_letters("lR* LL R rrL Rz") == (
        Letter("R", "flam", True),
        Letter("L", "diddle"),
        Letter("R"),
        Letter("L", "drag"),
        Letter("R", "buzz"),
    )


@pytest.mark.parametrize("word", ["rR", "lL", "RL", "lRR", "X", "lllR", "R**", "RRz"])
def test_what_is_no_letter_is_refused(word):
    with pytest.raises(ValueError, match=word.replace("*", r"\*")):
        read_letters(word)
