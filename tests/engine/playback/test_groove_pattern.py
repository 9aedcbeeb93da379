"""A groove as it is typed, drum by drum: what is wrong is said beside the line."""

import pytest

from rhythms.engine import Meter, Surface
from rhythms.engine.playback.groove import GrooveError
from rhythms.engine.playback.groove_fill import groove_fill, setup_fill
from rhythms.engine.playback.groove_pattern import GroovePattern, lines_from_json

FOUR_FOUR = Meter(4, 4)


def typed(lines: dict[str, str], setup: dict[str, str] | None = None, meter: str = "4/4"):
    read = lines_from_json(lines), lines_from_json(setup or {})
    return GroovePattern("mine", Meter.parse(meter), *read)


def struck(hits, surface: Surface):
    return [hit.onset for hit in hits if hit.surface == surface]


def problems(pattern: GroovePattern):
    return [(str(p.surface), p.column, p.setup) for p in pattern.problems]


def test_lines_make_a_groove():
    groove = typed({"hi-hat": "1 2 3 4", "snare": "2> 4>", "bass drum": "1 3"}).groove
    assert struck(groove.hits, Surface.SNARE) == [1, 3]
    assert struck(groove.hits, Surface.HI_HAT) == [0, 1, 2, 3]
    assert [hit.onset for hit in groove.hits] == sorted(hit.onset for hit in groove.hits)


def test_one_line_of_two_bars_makes_all_of_it_two_bars():
    groove = typed({"snare": "2 4", "bass drum": "1 | 3"}).groove
    assert groove.meter == FOUR_FOUR.over(2)
    assert struck(groove.hits, Surface.SNARE) == [1, 3, 5, 7]
    assert struck(groove.hits, Surface.BASS_DRUM) == [0, 6]


def test_a_drum_without_a_line_in_the_set_up_goes_on():
    groove = typed({"hi-hat": "1 2 3 4", "snare": "2 4"}, {"snare": "2 4 &"}).groove
    (setup,) = groove.setups
    assert struck(setup, Surface.HI_HAT) == [0, 1, 2, 3]
    assert [float(onset) for onset in struck(setup, Surface.SNARE)] == [1, 3, 3.5]


def test_a_line_of_rests_in_the_set_up_silences_its_drum():
    (setup,) = typed({"hi-hat": "1 2", "snare": "2 4"}, {"hi-hat": "(1)"}).groove.setups
    assert struck(setup, Surface.HI_HAT) == []


def test_the_set_up_takes_the_place_of_each_of_two_bars():
    groove = typed({"ride": "1 | 2", "snare": "4"}, {"snare": "3"}).groove
    assert [struck(bar, Surface.RIDE) for bar in groove.setups] == [[0], [1]]


def test_a_groove_in_which_nothing_is_struck_says_what_to_do():
    with pytest.raises(GrooveError, match="Nothing is struck yet"):
        _ = typed({"snare": "(1)"}).groove


@pytest.mark.parametrize(
    ("lines", "setup", "where"),
    [
        ({"snare": "2 4", "bass drum": "1 x"}, {}, [("bass drum", 2, False)]),
        ({"snare": "5", "bass drum": "1 x"}, {}, [("snare", 0, False), ("bass drum", 2, False)]),
        ({"snare": "2 4"}, {"snare": "2 | 4"}, [("snare", 2, True)]),
        ({"snare": "2", "hi-hat": "1 2", "ride": "2 3"}, {}, [("ride", 0, False)]),
        ({"snare": "2 4", "cross-stick": "1 4"}, {}, [("cross-stick", 2, False)]),
        ({"hi-hat": "1 e & a 2", "bass drum": "1 trip let 2"}, {}, [("bass drum", 2, False)]),
        ({"snare": "2", "hi-hat": "2"}, {"ride": "1 2"}, [("ride", 2, True)]),
        ({"snare": "2", "hi-hat": "2"}, {"snare": "2", "ride": "2"}, [("ride", 0, True)]),
    ],
)
def test_what_is_wrong_is_said_by_its_line_and_column(lines, setup, where):
    pattern = typed(lines, setup)
    assert problems(pattern) == where
    with pytest.raises(GrooveError):
        _ = pattern.groove


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        ({"snare": "2", "hi-hat": "2", "ride": "2"}, "at once: a player has two hands"),
        ({"snare": "1", "cross-stick": "1"}, "struck one way at a time"),
        ({"hi-hat": "1", "open hi-hat": "1"}, "struck one way at a time"),
        ({"open hi-hat": "(1) &", "hi-hat foot": "(1) &"}, "the foot closes the hi-hat here"),
        ({"stick on stick": "1", "hi-hat": "1"}, "the sticks take both hands"),
        ({"hi-hat": "1 e & a", "snare": "1 let"}, "column 3: beat 1 is counted otherwise"),
    ],
)
def test_why_it_cannot_be_played_is_a_sentence(lines, said):
    assert said in typed(lines).problems[0].message


def test_a_drum_that_nobody_knows_is_named():
    with pytest.raises(GrooveError, match="“gong” is no drum or cymbal; there are snare, "):
        lines_from_json({"gong": "1"})


@pytest.mark.parametrize("data", [{}, {"name": "x"}, {"name": "x", "meter": "4/4", "lines": None}])
def test_what_is_no_groove_is_refused(data):
    with pytest.raises(GrooveError, match="not a stored groove"):
        GroovePattern.from_json(data)


def test_as_strokes_hands_are_open_and_each_foot_has_its_drum():
    fill = groove_fill(typed({"hi-hat": "1 2", "snare": "2<", "bass drum": "1>"}).groove)
    first, second = fill.strokes
    assert [(hit.surface, hit.limb, hit.dynamic) for hit in first.hits] == [
        (Surface.HI_HAT, None, "normal"),
        (Surface.BASS_DRUM, "RF", "accent"),
    ]
    assert [(hit.surface, hit.dynamic) for hit in second.hits] == [
        (Surface.SNARE, "ghost"),
        (Surface.HI_HAT, "normal"),
    ]


def test_as_strokes_a_silent_beat_is_a_rest():
    bar = groove_fill(typed({"snare": "(1) & 3"}).groove).bar
    assert [(float(note.onset), note.rest) for note in bar.notes] == [
        (0, True),
        (0.5, False),
        (1, True),
        (2, False),
        (3, True),
    ]


def test_only_a_groove_that_sets_up_has_a_bar_for_it():
    assert setup_fill(typed({"snare": "2"}).groove) is None
    setup = setup_fill(typed({"snare": "2"}, {"snare": "4"}).groove)
    assert setup is not None
    assert [note.onset for note in setup.bar.sounded] == [3]
