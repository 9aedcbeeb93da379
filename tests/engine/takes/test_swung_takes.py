"""Takes with a feel: held against where the swung note falls, read where it is written."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Fill, Kit, Meter, Surface
from rhythms.engine.bars.feel import LEAST, MOST, PAIRS, STRAIGHT, Feel
from rhythms.engine.fills.fill import snare_fill
from rhythms.engine.playback.groove_library import groove_named
from rhythms.engine.playback.timeline import Block
from rhythms.engine.takes import CLICK, RIGHT, Analysis, Recording, analyse
from rhythms.engine.takes.grid import Grid
from rhythms.engine.takes.hits import TimedHit
from rhythms.engine.takes.stroke_reading import place
from rhythms.engine.takes.swung_places import divisions, nearest
from tests.engine.takes.simulated_player import KEYS, Errors, play
from tests.strategies import fills, meters
from tests.thoroughness import examples

TRIPLET, LIGHT = Feel(67), Feel(58)
FEELS = st.builds(Feel, st.integers(LEAST, MOST), st.sampled_from(sorted(PAIRS)))
EIGHTHS = snare_fill(Bar.from_counts("1 & 2 & 3 & 4 &"))
TEMPO = 100.0


def events(fill: Fill, feel: Feel, tempo: float = TEMPO, bars: int = 4) -> list:
    """The block played exactly by a feel: `(milliseconds, key, velocity)`."""
    block = Block(fill, groove_named("rock", Meter(4, 4)), bars, feel=feel)
    return sorted(
        (float(sound.onset) * 60_000 / tempo, KEYS[sound.surface], 80) for sound in block.sounds
    )


def held(
    fill: Fill | None, played: list, feel: Feel | None, *, click: bool = True, tempo: float = TEMPO
) -> Analysis:
    """What a take says of strokes, against a fill by a feel."""
    recording = Recording(
        played,
        Meter(4, 4),
        Kit.standard(),
        click=(tempo, 0.0) if click else None,
        tempo=tempo,
        feel=feel,
        latency=0.0,
    )
    return analyse(recording, fill)


def outcomes(found: Analysis) -> list[str]:
    return [note.outcome for attempt in found.attempts for note in attempt.notes]


# --- a take of a fill ---------------------------------------------------------------------


@pytest.mark.parametrize("click", [True, False])
@pytest.mark.parametrize("feel", [STRAIGHT, LIGHT, TRIPLET, Feel(75), Feel(80), Feel(67, "16ths")])
def test_a_take_played_exactly_by_its_feel_is_right_and_not_early_or_late(feel, click):
    found = held(EIGHTHS, events(EIGHTHS, feel), feel, click=click)
    assert outcomes(found) == [RIGHT] * 8
    assert abs(found.timing.bias) < 2
    assert found.timing.spread < 2
    assert found.timing.verdict == ("on the click" if click else "")
    assert found.feel == feel.in_meter(Meter(4, 4))


@examples(60)
@given(
    fills("4/4", surfaces=(Surface.SNARE, Surface.HIGH_TOM, Surface.FLOOR_TOM), ornaments=False),
    FEELS,
)
def test_any_fill_played_exactly_by_its_feel_is_right_throughout(fill, feel):
    if len(fill.strokes) < 4:
        return
    found = held(fill, events(fill, feel), feel)
    assert found.grid.known == CLICK
    assert set(outcomes(found)) == {RIGHT}
    assert all(abs(note.off) < 25 for one in found.attempts for note in one.notes)


def test_even_eighths_against_a_light_swing_are_early_by_what_the_swing_moves():
    found = held(EIGHTHS, events(EIGHTHS, STRAIGHT), LIGHT)
    offs = [note.off for note in found.attempts[0].notes]
    # From 58 % of 600 ms down to half of it, whatever the whole is taken to be late.
    early = [second - first for first, second in zip(offs[::2], offs[1::2], strict=True)]
    assert early == pytest.approx([-48.0] * 4)
    assert found.swing == pytest.approx(50, abs=0.1)


def test_a_light_swing_against_even_eighths_is_late_by_what_the_swing_moves():
    found = held(EIGHTHS, events(EIGHTHS, LIGHT), STRAIGHT)
    offs = [note.off for note in found.attempts[0].notes]
    late = [second - first for first, second in zip(offs[::2], offs[1::2], strict=True)]
    assert late == pytest.approx([48.0] * 4)
    assert found.swing == pytest.approx(58, abs=0.1)


def test_even_eighths_against_triplet_swing_come_a_sixth_of_a_beat_too_early():
    found = held(EIGHTHS, events(EIGHTHS, STRAIGHT), TRIPLET)
    notes = found.attempts[0].notes
    assert [note.outcome for note in notes] == [RIGHT] * 8
    assert [note.off for note in notes[::2]] == pytest.approx([0.0] * 4)
    assert [note.off for note in notes[1::2]] == pytest.approx([-100.0] * 4)
    assert found.swing == pytest.approx(50, abs=0.1)


@pytest.mark.parametrize("feel", [LIGHT, TRIPLET, Feel(75)])
def test_how_far_a_player_swings_is_measured(feel):
    """Within 3 %: each stroke of a straight block strays by 8 ms, and off-beats are moved."""
    played = play(EIGHTHS, TEMPO, Errors(jitter=8.0), seed=4, start=0.0)
    swung = [
        (ms + 600 * (float(feel.share) - 0.5) * (round(ms / 300) % 2), key, velocity)
        for ms, key, velocity in played.events
    ]
    assert held(EIGHTHS, swung, feel).swing == pytest.approx(100 * float(feel.share), abs=3)


def test_too_few_notes_say_nothing_of_a_swing():
    quarters = snare_fill(Bar.from_counts("1 2 3 4"))
    played = [(600.0 * k, KEYS[Surface.SNARE], 80) for k in range(12)]
    assert held(quarters, played, TRIPLET).swing is None


# --- a free take --------------------------------------------------------------------------


def read(found: Analysis) -> set[str]:
    return {fill.bar.counts() for fill in found.fills}


def free(fill: Fill, feel: Feel, said: Feel | None, *, click: bool = True) -> Analysis:
    return held(None, events(fill, feel), said, click=click)


@pytest.mark.parametrize("feel", [LIGHT, Feel(62), TRIPLET, Feel(72)])
@pytest.mark.parametrize("click", [True, False])
def test_swung_eighths_are_read_as_eighths_where_the_feel_is_known(feel, click):
    found = free(EIGHTHS, feel, feel, click=click)
    assert "1 & 2 & 3 & 4 &" in read(found)
    assert found.swing == pytest.approx(100 * float(feel.share), abs=1)


def test_without_a_feel_triplet_swing_is_read_as_the_triplets_that_it_is():
    found = free(EIGHTHS, TRIPLET, None)
    assert "1 let 2 let 3 let 4 let" in read(found)
    assert found.feel == STRAIGHT


@pytest.mark.parametrize("feel", [Feel(56), LIGHT, Feel(61)])
def test_a_light_swing_is_made_out_by_itself(feel):
    found = free(EIGHTHS, feel, None)
    assert abs(found.feel.swing - feel.swing) <= 1
    assert "1 & 2 & 3 & 4 &" in read(found)


def test_nothing_is_made_out_of_a_few_notes():
    played = [event for event in events(EIGHTHS, LIGHT, bars=1) if event[0] < 2300]
    assert held(None, played, None, click=False).feel == STRAIGHT


@pytest.mark.parametrize(
    "counts", ["1 & 2 & 3 & 4 &", "1 e & a 2 e & a 3 & 4 &", "1 trip let 2 trip let 3 & 4"]
)
@pytest.mark.parametrize("seed", range(4))
def test_what_is_played_as_written_is_not_taken_for_swing(counts, seed):
    fill = snare_fill(Bar.from_counts(counts))
    played = play(fill, TEMPO, Errors(jitter=12.0), seed=seed)
    assert held(None, played.events, None, click=False).feel == STRAIGHT


def test_triplets_in_a_swung_take_stay_triplets():
    fill = snare_fill(Bar.from_counts("1 trip let 2 & 3 trip let 4 &"))
    assert "1 trip let 2 & 3 trip let 4 &" in read(free(fill, TRIPLET, TRIPLET))


def test_16ths_in_a_swung_take_stay_16ths():
    fill = snare_fill(Bar.from_counts("1 e & a 2 & 3 e & a 4 &"))
    assert "1 e & a 2 & 3 e & a 4 &" in read(free(fill, TRIPLET, TRIPLET))


def test_even_16ths_in_a_swung_take_are_read_as_what_they_are():
    grid = Grid.steady(Meter(4, 4), TEMPO, 0.0, CLICK)
    hits = [TimedHit(150.0 * k, Surface.SNARE, 80) for k in range(4)]
    assert [one.onset for one in place(hits, grid, TRIPLET)] == [Fraction(k, 4) for k in range(4)]


# --- places -------------------------------------------------------------------------------


@given(meters(), FEELS)
def test_every_division_strikes_its_notes_in_order_from_beat_to_beat(meter, feel):
    for beat in meter.beats:
        for division in divisions(beat.length, meter, feel):
            for places in (division.struck, division.written, division.wanted):
                assert list(places) == sorted(set(places))
                assert (places[0], places[-1]) == (0, float(beat.length))


@given(meters(), FEELS)
def test_what_swings_can_be_read_as_even_too_but_costs_more(meter, feel):
    for beat in meter.beats:
        found = divisions(beat.length, meter, feel)
        swung = [one for one in found if one.struck != tuple(map(float, one.written))]
        for one in swung:
            even = [other for other in found if other.written == one.written and other != one]
            assert [other.cost > one.cost for other in even if other.struck != one.struck] != []


@given(
    st.lists(st.integers(0, 1000), min_size=2, max_size=9, unique=True),
    st.integers(-100, 1100),
)
def test_the_nearest_place_is_the_one_that_is_least_away(places, offset):
    ordered = [float(place) for place in sorted(places)]
    found = nearest(ordered, float(offset))
    distances = [abs(place - offset) for place in ordered]
    assert distances[found] == min(distances)
    assert found == distances.index(min(distances))
