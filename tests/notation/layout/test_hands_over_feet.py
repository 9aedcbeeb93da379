"""How long the hands' notes last over feet that are a line of their own."""

from fractions import Fraction

from hypothesis import given

from rhythms.engine import Meter
from rhythms.engine.playback.groove_fill import groove_fill
from rhythms.engine.playback.groove_pattern import GroovePattern, lines_from_json
from rhythms.notation.layout.voices import voices
from tests.strategies import fills


def hands_of(lines: dict[str, str], meter: str = "4/4") -> list[tuple[float, str]]:
    """Onset and value of each symbol of the hands, ``rest`` before that of a rest."""
    pattern = GroovePattern("mine", Meter.parse(meter), lines_from_json(lines))
    hands = voices(groove_fill(pattern.groove))[0]
    return [
        (float(one.onset), one.value if one.stroke else f"rest {one.value}")
        for one in hands.symbols
    ]


def test_a_note_lasts_while_the_feet_alone_go_on_in_its_beat():
    lines = {"hi-hat": "1 & 2 3 4", "bass drum": "1 a 2 & 3 4"}
    assert hands_of(lines) == [
        (0, "eighth"),
        (0.5, "eighth"),
        (1, "quarter"),
        (2, "quarter"),
        (3, "quarter"),
    ]


def test_at_a_beat_that_the_hands_leave_to_the_feet_they_rest():
    lines = {"hi-hat": "1 3", "bass drum": "1 2 3 4"}
    assert hands_of(lines) == [
        (0, "quarter"),
        (1, "rest quarter"),
        (2, "quarter"),
        (3, "rest quarter"),
    ]


def test_in_triplets_a_note_lasts_over_their_middle():
    lines = {"ride": "1 let 2 3 4", "bass drum": "1 trip 2 3 4"}
    values = [value for _, value in hands_of(lines)]
    assert values == ["quarter triplet", "eighth triplet", "quarter", "quarter", "quarter"]


def test_feet_that_only_fill_gaps_leave_rests_there():
    lines = {"snare": "1 & 2 3 4", "bass drum": "(1) a"}
    assert hands_of(lines)[:3] == [(0, "eighth"), (0.5, "16th"), (0.75, "rest 16th")]


@given(fills(together=True))
def test_whatever_is_struck_the_voices_fill_their_bars_without_a_gap(fill):
    for voice in voices(fill):
        onset = Fraction(0)
        for symbol in voice.symbols:
            assert symbol.onset == onset
            onset = symbol.end
        assert onset == fill.bar.meter.length
