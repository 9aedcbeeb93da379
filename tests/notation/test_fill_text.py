"""A fill in words, as a screen reader says it."""

from fractions import Fraction

from hypothesis import given

from rhythms.engine import Bar, Fill, Stroke, Surface
from rhythms.engine.fills.fill import Hit, snare_fill, stroke_of
from rhythms.engine.kits.surfaces import called
from rhythms.notation.fill_text import description, title
from tests.strategies import fills


def test_the_bar_is_described_as_it_is_counted_with_surfaces_hands_and_ornaments():
    fill = Fill(
        Bar.from_counts("1 & (2) 3 -& 4"),
        (
            Stroke(Surface.SNARE, "R", "accent"),
            Stroke(Surface.SNARE, "L", "ghost"),
            Stroke(Surface.FLOOR_TOM, None, "normal", "flam"),
            Stroke(Surface.BASS_DRUM, "RF"),
        ),
    )
    assert title(fill) == "4/4, 4 strokes"
    assert description(fill) == (
        "1 snare (R, accent), & snare (L, ghost), 2 rest, 3 floor tom (flam), 4 bass drum"
    )


def test_a_buzz_is_called_one():
    buzz = Stroke(Surface.SNARE, "R", "accent", "buzz")
    assert description(Fill(Bar.from_counts("1", "1/4"), (buzz,))) == "1 snare (R, accent, buzz)"


def test_what_is_struck_together_is_named_together():
    first = stroke_of([Hit(Surface.CRASH, "R", "accent"), Hit(Surface.BASS_DRUM, "RF")])
    second = stroke_of([Hit(Surface.SNARE, "L", "ghost"), Hit(Surface.FLOOR_TOM, "R")])
    assert description(Fill(Bar.from_counts("1 2", "2/4"), (first, second))) == (
        "1 crash (R, accent) with bass drum, 2 snare (L, ghost) with floor tom (R)"
    )


def test_a_beat_finer_than_counting_is_named_by_its_number():
    notes = [[str(Fraction(k, 12)), "1/12", "32nd triplet", ""] for k in range(12)]
    notes.append(["1", "1", "quarter", ""])
    fill = snare_fill(Bar.from_json({"meter": "2/4", "notes": notes}))
    assert description(fill).startswith("1 snare, then snare, then snare")
    assert description(fill).endswith("then snare, 2 snare")


def test_one_stroke_is_one_stroke():
    assert title(snare_fill(Bar.from_counts("1 (2) (3) (4)"))) == "4/4, 1 stroke"


@given(fills(together=True))
def test_every_stroke_and_every_rest_is_described(fill):
    text = description(fill)
    for surface in Surface:
        others = [s for s in Surface if surface in s and s != surface]
        played = sum(hit.surface in (surface, *others) for hit in fill.hits)
        assert text.count(called(surface)) == played
    assert text.count("rest") + text.count("groove") == sum(note.rest for note in fill.bar.notes)


def test_whole_beats_before_a_late_fill_are_groove_and_in_a_bar_rests():
    fill = snare_fill(Bar.from_counts("(1) (2) (3) & 4"))
    assert description(fill) == "1 groove, 2 groove, 3 rest, & snare, 4 snare"
    assert description(fill, groove=False) == "1 rest, 2 rest, 3 rest, & snare, 4 snare"


def test_a_pickup_is_described_from_its_first_count():
    fill = snare_fill(Bar.from_counts("(4) & | 1 2 3 4"))
    assert description(fill) == "4 rest, & snare, 1 snare, 2 snare, 3 snare, 4 snare"
