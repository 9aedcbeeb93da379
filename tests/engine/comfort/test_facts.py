"""What stands out in a player beside other people: what is said, and what is not."""

from __future__ import annotations

import json
from itertools import product

import pytest

from rhythms.engine import Bar, Fill, Kit, RuleSet, Stroke, Surface, draw
from rhythms.engine.comfort.amounts import amounts
from rhythms.engine.comfort.expectation import Given
from rhythms.engine.comfort.fact_words import of_ten, sentence_of, sentence_to_player, singular
from rhythms.engine.comfort.facts import BesideWhom, Fact, facts
from rhythms.engine.comfort.people import people, people_from_json, people_to_json
from rhythms.engine.comfort.playing import FEWEST, Playing
from rhythms.engine.comfort.rhythm_chances import RhythmChances, rhythm_chances, rhythm_of
from rhythms.engine.comfort.trait_table import OwnPlays, stats_from_json, stats_to_json
from rhythms.engine.comfort.trait_tests import TraitStats
from rhythms.engine.comfort.traits import Trait
from rhythms.engine.comfort.zone import comfort_zone
from rhythms.engine.comfort.zone_json import zone_from_json, zone_to_json
from rhythms.engine.comfort.zone_sentences import one_of_a_kind
from rhythms.engine.fills.fill import Hit, stroke_of
from tests.engine.comfort.simulated_habits import (
    FLOOR,
    HIGH,
    KIT,
    MID,
    SIXTEENTHS,
    SNARE,
    TURNS,
    on,
    played,
    space,
    walk_down,
)

CRASH, BASS = Surface.CRASH, Surface.BASS_DRUM
NOTHING = Given(())
ENDS = Trait("end", "end on the crash")
DENSITY = Trait("density", "play {number} strokes a beat")


def drawn(number: int, bar: Bar = SIXTEENTHS, seed: int = 1) -> list[Fill]:
    """Fills as drummers would play them."""
    return list(draw(space(bar, RuleSet(())), number, seed))


def ending_on(surface: Surface, fill: Fill) -> Fill:
    return Fill(fill.bar, (*fill.strokes[:-1], Stroke(surface)))


def found(fills, given=NOTHING, kit=KIT, beside=None) -> dict[Trait, Fact]:
    own = OwnPlays.of(played(fills))
    return {fact.trait: fact for fact in facts(own, given, kit, beside)}


def some_end_on_the_crash(number: int = 40) -> list[Fill]:
    return [
        ending_on(CRASH, fill) if place % 10 < 6 else fill
        for place, fill in enumerate(drawn(number))
    ]


def test_who_ends_on_the_crash_more_than_others_is_told_so_in_things_one_can_count():
    fact = found(some_end_on_the_crash())[ENDS]
    assert fact.sentence == "Ends on the crash in 6 of 10; others in 7 of 100. Sure: 40 takes."
    assert fact.low < 0.6 < fact.high


def test_who_plays_as_drummers_would_is_told_nothing():
    assert found(drawn(40)) == {}


def test_nothing_is_said_of_too_few_takes():
    assert found(some_end_on_the_crash(40)[: FEWEST - 1]) == {}


@pytest.mark.parametrize(("takes", "sure"), [(8, "Only a hint"), (12, "Fairly sure"), (20, "Sure")])
def test_how_sure_it_is_depends_on_the_takes(takes, sure):
    fact = Fact(ENDS, 0.6, 0.4, 0.8, 0.1, None, 0.01, 1.1, takes)
    assert fact.sentence.endswith(f"{sure}: {takes} takes.")


def test_what_was_given_has_it_is_no_fact():
    """The rules ask for the crash at the end."""
    rules = RuleSet.from_json([{"rule": "end on", "surfaces": ["crash"]}])
    given = space(SIXTEENTHS, rules)
    fills = [ending_on(CRASH, fill) for fill in drawn(40)]
    assert ENDS in found(fills)
    assert ENDS not in found(fills, Given.of([given]))


def test_a_fill_played_as_it_was_asked_for_shows_nothing_of_who_plays():
    plays = played([ending_on(CRASH, fill) for fill in drawn(40)]).plays
    as_asked = Playing.of(play._replace(asked=play.fill) for play in plays)
    assert OwnPlays.of(as_asked).plays == ()
    otherwise = Playing.of(play._replace(asked=walk_down()) for play in plays)
    assert len(OwnPlays.of(otherwise).plays) == 40


def test_one_rhythm_over_and_over_is_no_fact_on_rhythms():
    """All 16ths: four strokes a beat, where others play three."""
    assert DENSITY not in found(drawn(40))
    own = OwnPlays.of(played(drawn(40)))
    assert own.stats(DENSITY).units == 1


def test_many_rhythms_of_many_strokes_are_one():
    beats = ("{} e & a", "{} trip let & trip let")
    counts = [
        " ".join(beat.format(number) for number, beat in enumerate(some, start=1))
        for some in product(beats, repeat=4)
    ]
    fills = [drawn(2, Bar.from_counts(line), seed=3) for line in counts]
    assert found([fill for some in fills for fill in some])[DENSITY].is_more


def test_a_kit_without_a_crash_does_not_lack_it():
    no_crash = Kit.of([str(surface) for surface in KIT.surfaces if surface is not CRASH])
    words = {trait.words for trait in found([on([SNARE] * 16)] * 40, kit=no_crash)}
    assert "strike the crash" not in words
    assert "strike the floor tom" in words


def test_who_shows_no_feet_at_all_may_have_no_pedals():
    kinds = {trait.kind for trait in found([on([SNARE, FLOOR] * 8)] * 40)}
    assert not kinds & {"bass drum", "hi-hat foot", "accents", "together"}


def test_beside_the_studio_alone_a_trait_is_a_fact_where_it_is_far_from_drummers_too():
    studio = [{ENDS: TraitStats(60, share, share * (1 - share))} for share in (0.0, 0.02, 0.04)]
    fills = [ending_on(CRASH, fill) if n % 10 < 3 else fill for n, fill in enumerate(drawn(30))]
    fact = found(fills, beside=BesideWhom(studio=studio))[ENDS]
    assert fact.studio == pytest.approx(0.02, abs=0.02)
    told = "Ends on the crash in 3 of 10; others in 7 of 100, your other students in 3 of 100."
    assert fact.sentence.startswith(told)


@pytest.mark.parametrize(
    ("trait", "value", "others", "comes_back"),
    [
        (ENDS, 0.6, 0.1, True),
        (ENDS, 0.2, 0.02, False),  # a colour, no rut
        (ENDS, 0.0, 0.3, False),
        (Trait("use", "strike the cowbell"), 0.8, 0.0, False),
        (Trait("drums", "use {number} drums and cymbals a fill"), 1.4, 3.4, True),
        (Trait("drums", "use {number} drums and cymbals a fill"), 6.4, 3.4, False),
        (Trait("stays", "stay on the same drum in {share} moves"), 0.9, 0.6, True),
    ],
)
def test_only_what_somebody_falls_back_on_asks_for_a_way_out(trait, value, others, comes_back):
    fact = Fact(trait, value, 0, 1, others, None, 0.01, value - others, 40)
    assert fact.keeps_coming_back == comes_back


def test_of_each_kind_one_fact_is_said():
    fills = [on([SNARE] * 8 + [HIGH] * 3 + [MID] * 2 + [FLOOR] * 3)] * 30
    told = [fact.trait.kind for fact in one_of_a_kind(found(fills).values())]
    assert len(told) == len(set(told))


def test_facts_are_kept_with_the_zone():
    zone = comfort_zone(played(some_end_on_the_crash()), [], KIT)
    assert zone.facts
    kept = zone_from_json(json.loads(json.dumps(zone_to_json(zone))))
    assert kept.facts == zone.facts


@pytest.mark.parametrize(
    ("share", "words"),
    [(0.0, "none"), (0.004, "none"), (0.04, "4 of 100"), (0.2, "2 of 10"), (0.96, "10 of 10")],
)
def test_shares_are_things_one_can_count(share, words):
    assert of_ten(share) == words


@pytest.mark.parametrize(
    ("words", "of_one"),
    [
        ("end on the crash", "ends on the crash"),
        (
            "go from the snare to the ride into beat 2",
            "goes from the snare to the ride into beat 2",
        ),
        ("never leave the snare", "never leaves the snare"),
        ("come back to the snare on every beat", "comes back to the snare on every beat"),
    ],
)
def test_a_trait_of_many_fills_is_said_of_one_player(words, of_one):
    assert singular(words) == of_one


def test_sentences_of_amounts_and_of_what_is_left_out():
    toms = Trait("surfaces", "put {share} strokes on the toms")
    assert sentence_of(DENSITY, 3.94, 2.71, None) == "Plays 3.9 strokes a beat; others 2.7."
    assert sentence_of(toms, 0.52, 0.3, None) == "Puts 5 of 10 strokes on the toms; others 3 of 10."
    assert sentence_of(ENDS, 0.0, 0.2, None) == "Hardly ever ends on the crash; others in 2 of 10."


NEVER = Trait("colours", "never leave the snare")


@pytest.mark.parametrize(
    ("trait", "value", "people", "told"),
    [
        (ENDS, 0.2, 0.04, "You end on the crash in 2 of 10; others in 4 of 100."),
        (
            Trait("use", "strike the mid tom"),
            0.0,
            0.6,
            "You hardly ever strike the mid tom; others in 6 of 10.",
        ),
        (NEVER, 0.3, 0.1, "You never leave the snare in 3 of 10; others in 1 of 10."),
        (DENSITY, 3.94, 2.71, "You play 3.9 strokes a beat; others 2.7."),
    ],
)
def test_a_player_is_told_of_you(trait, value, people, told):
    assert sentence_to_player(trait, value, people) == told


def test_what_is_hardly_ever_never_left_is_said_with_one_no():
    told = "ardly ever stays on the snare alone; others in 2 of 10."
    assert sentence_of(NEVER, 0.0, 0.2, None) == f"H{told}"
    to_player = f"You h{told}".replace("stays", "stay")
    assert sentence_to_player(NEVER, 0.0, 0.2) == to_player


def test_to_the_player_a_fact_is_never_beside_other_students():
    fact = Fact(ENDS, 0.2, 0.1, 0.3, 0.04, 0.05, 0.01, 0.6, 40)
    assert "your other students in 5 of 100" in fact.sentence
    assert fact.to_player == "You end on the crash in 2 of 10; others in 4 of 100. Sure: 40 takes."


def test_amounts_of_a_fill_are_what_one_counts_in_it():
    bass = Stroke(BASS, "RF")
    fill = Fill(
        Bar.from_counts("1 & 2 e & a 3 4"),
        (
            Stroke(SNARE, None, "accent"),
            bass,
            Stroke(HIGH),
            Stroke(HIGH),
            Stroke(MID),
            Stroke(MID),
            stroke_of([Hit(SNARE), Hit(FLOOR)]),
            stroke_of([Hit(CRASH), Hit(BASS, "RF")]),
        ),
    )
    got = {trait.kind: value for trait, value in amounts(fill) if trait.kind != "surfaces"}
    assert got["density"] == pytest.approx(6 / 3)  # seven strokes of hands in three beats
    assert got["length"] == 3
    assert got["drums"] == 5
    assert got["accents"] == pytest.approx(1 / 8)
    assert got["bass drum"] == pytest.approx(1 / 8)
    assert got["together"] == pytest.approx(1 / 7)
    assert got["stays"] == pytest.approx(2 / 6)
    assert got["direction"] == 1.0
    assert got["triplets"] == got["32nds"] == 0.0


def test_a_fill_of_feet_alone_has_no_amounts():
    bar = Bar.from_counts("1 2 3 4")
    assert not list(amounts(Fill(bar, (Stroke(BASS, "RF"),) * 4)))


def test_the_rhythm_of_a_fill_rests_where_feet_play_alone():
    bar = Bar.from_counts("1 & 2 3 4")
    strokes = (Stroke(SNARE), Stroke(BASS, "RF"), Stroke(SNARE), Stroke(SNARE), Stroke(SNARE))
    assert rhythm_of(Fill(bar, strokes)) == Bar.from_counts("1 (&) 2 3 4")


def test_chances_of_a_rhythm_can_be_kept():
    chances = rhythm_chances(drawn(1, TURNS)[0], KIT)
    again = RhythmChances.from_json(json.loads(json.dumps(chances.to_json())))
    assert again.traits == pytest.approx(chances.traits, abs=1e-4)
    assert again.moves == pytest.approx(chances.moves, abs=1e-5)
    assert sum(chances.moves.values()) == pytest.approx(1)


def test_traits_of_a_person_can_be_kept():
    stats = OwnPlays.of(played(drawn(20))).all_stats()
    kept = stats_from_json(json.loads(json.dumps(stats_to_json(stats))))
    assert kept.keys() == stats.keys()
    for trait, one in stats.items():
        assert kept[trait] == pytest.approx(one, abs=1e-4)


def test_people_are_written_as_they_are_read():
    written = people_to_json(people())
    assert people_to_json(people_from_json(written)) == written
    assert people_from_json(written).keys() == people().keys()


@pytest.mark.parametrize(
    ("name", "shares"),
    [
        ("drummer1", {"snare": 0.45, "floor tom": 0.34, "high tom": 0.15}),
        ("drummer7", {"floor tom": 0.43, "snare": 0.21}),
    ],
)
def test_the_people_end_their_fills_as_was_counted_by_hand(name, shares):
    """Counted from the same files by another program, the louder hand where both strike; here it is
    the first of two, and a crash on the *one* after a fill is its landing."""
    person = people()[name]
    for surface, share in shares.items():
        ends = person[Trait("end", f"end on the {surface}")]
        assert ends.mean == pytest.approx(share, abs=0.07)
