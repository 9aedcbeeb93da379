"""Staff positions, noteheads and keys against the published tables.

Weinberg: Norman Weinberg, "Guidelines for Drumset Notation", Percussive Notes, June 1994
(Percussive Arts Society); rows as drummers commonly reprint them, splash and china left
open there. W3C: the percussion tutorial of the MusicXML 4.0 documentation. General MIDI:
General MIDI System Level 1, percussion map (MIDI Manufacturers Association).
"""

import pytest

from rhythms.engine import Surface
from rhythms.notation.sounds import CHOKES
from rhythms.notation.staff_placement import PLACEMENTS

#: surface: (place on the five lines, step and octave read in treble clef, notehead)
WEINBERG = {
    "hi-hat foot": ("space below the staff", "D4", "x"),
    "bass drum": ("first space", "F4", "normal"),
    "floor tom": ("second space", "A4", "normal"),
    "snare": ("third space", "C5", "normal"),
    "cross-stick": ("third space", "C5", "x"),
    "mid tom": ("fourth line", "D5", "normal"),
    "high tom": ("fourth space", "E5", "normal"),
    "cowbell": ("fourth space", "E5", "triangle"),
    "ride": ("fifth line", "F5", "x"),
    "ride bell": ("fifth line", "F5", "diamond"),
    "hi-hat": ("space above the staff", "G5", "x"),
    "crash": ("first ledger line above", "A5", "x"),
    "open hi-hat": ("space above the staff", "G5", "x"),
    "half-open hi-hat": ("space above the staff", "G5", "x"),
    "rim shot": ("third space", "C5", "slashed"),
}
#: What stands above a note, by the same guidelines; nothing above any other.
SIGNS = {"open hi-hat": "open", "half-open hi-hat": "half-open"}

#: MEI's loc: 0 is the bottom line, each line or space up adds one.
PLACES = {
    "space below the staff": -1,
    "first space": 1,
    "second space": 3,
    "third space": 5,
    "fourth line": 6,
    "fourth space": 7,
    "fifth line": 8,
    "space above the staff": 9,
    "first ledger line above": 10,
}

#: The tutorial writes in bass clef; the same places read in treble clef are a sixth higher.
W3C_BASS_CLEF = {"bass drum": "A2", "snare": "E3", "hi-hat": "B3"}
W3C_MIDI_UNPITCHED = {"snare": 39, "bass drum": 37, "crash": 50, "hi-hat": 43, "cowbell": 57}

#: Level 1 has one open hi-hat, no rim shot and no sticks. For these: the electric snare, the key
#: of the rim on electronic kits (common practice, by vendor), and the claves, two sticks struck.
GENERAL_MIDI = {
    36: "Bass Drum 1",
    37: "Side Stick",
    38: "Acoustic Snare",
    40: "Electric Snare",
    42: "Closed Hi-Hat",
    43: "High Floor Tom",
    44: "Pedal Hi-Hat",
    45: "Low Tom",
    46: "Open Hi-Hat",
    48: "Hi-Mid Tom",
    49: "Crash Cymbal 1",
    51: "Ride Cymbal 1",
    52: "Chinese Cymbal",
    53: "Ride Bell",
    55: "Splash Cymbal",
    56: "Cowbell",
    75: "Claves",
}
SOUNDS = {
    "snare": "Acoustic Snare",
    "high tom": "Hi-Mid Tom",
    "mid tom": "Low Tom",
    "floor tom": "High Floor Tom",
    "hi-hat": "Closed Hi-Hat",
    "ride": "Ride Cymbal 1",
    "ride bell": "Ride Bell",
    "crash": "Crash Cymbal 1",
    "splash": "Splash Cymbal",
    "china": "Chinese Cymbal",
    "cowbell": "Cowbell",
    "cross-stick": "Side Stick",
    "bass drum": "Bass Drum 1",
    "hi-hat foot": "Pedal Hi-Hat",
    "open hi-hat": "Open Hi-Hat",
    "half-open hi-hat": "Open Hi-Hat",
    "rim shot": "Electric Snare",
    "stick on stick": "Claves",
}

BOTTOM_LINE_IN_BASS_CLEF = "G2"


def steps(pitch: str) -> int:
    """Diatonic steps from C0."""
    return "CDEFGAB".index(pitch[0]) + 7 * int(pitch[1])


@pytest.mark.parametrize("surface", WEINBERG)
def test_weinbergs_guidelines_place_the_surface_there(surface):
    place, pitch, head = WEINBERG[surface]
    row = PLACEMENTS[Surface(surface)]
    assert (row.loc, f"{row.step}{row.octave}", row.head) == (PLACES[place], pitch, head)


@pytest.mark.parametrize("surface", Surface)
def test_an_open_hi_hat_has_its_sign_and_nothing_else_has_any(surface):
    assert PLACEMENTS[surface].sign == SIGNS.get(surface, "")


@pytest.mark.parametrize("surface", W3C_BASS_CLEF)
def test_the_musicxml_tutorial_places_the_surface_there(surface):
    expected = steps(W3C_BASS_CLEF[surface]) - steps(BOTTOM_LINE_IN_BASS_CLEF)
    assert PLACEMENTS[Surface(surface)].loc == expected


@pytest.mark.parametrize("surface", W3C_MIDI_UNPITCHED)
def test_the_musicxml_tutorial_gives_the_surface_that_sound(surface):
    assert PLACEMENTS[Surface(surface)].key + 1 == W3C_MIDI_UNPITCHED[surface]


@pytest.mark.parametrize("surface", Surface)
def test_general_midi_names_the_key_as_the_surface(surface):
    assert GENERAL_MIDI[PLACEMENTS[surface].key] == SOUNDS[surface]


def test_what_ends_an_open_hi_hat_is_in_one_exclusive_group_with_it():
    """In General MIDI 42, 44 and 46 cut each other off (common practice of sound sets)."""
    hats = {*CHOKES, *(one for ended in CHOKES.values() for one in ended)}
    assert {PLACEMENTS[hat].key for hat in hats} == {42, 44, 46}


def test_splash_and_china_stand_above_the_crash_each_in_its_own_place():
    crash, splash, china = (PLACEMENTS[Surface(name)].loc for name in ("crash", "splash", "china"))
    assert crash < splash < china


def test_no_two_surfaces_look_alike():
    looks = {(row.loc, row.head, row.sign) for row in PLACEMENTS.values()}
    assert len(looks) == len(Surface)


@pytest.mark.parametrize("surface", Surface)
def test_hands_point_up_and_feet_down(surface):
    row = PLACEMENTS[surface]
    by_foot = surface in ("bass drum", "hi-hat foot")
    assert (row.voice, row.stem) == ((2, "down") if by_foot else (1, "up"))
