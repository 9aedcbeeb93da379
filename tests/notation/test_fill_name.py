"""A fill's name says where it travels, and no two of a student's on one bar are called alike."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Fill, FillSpace, Kit, RuleSet, Stroke, Surface
from rhythms.engine.fills.fill import Hit, snare_fill, stroke_of
from rhythms.notation.fill_name import LONGEST, fill_name, route_name
from tests.strategies import fills, fills_of_one_bar

EIGHTHS = Bar.from_counts("1 & 2 & 3 & 4 &")
SHORT = {
    "s": Surface.SNARE,
    "h": Surface.HIGH_TOM,
    "m": Surface.MID_TOM,
    "f": Surface.FLOOR_TOM,
    "x": Surface.HI_HAT,
    "c": Surface.CRASH,
    "r": Surface.RIDE,
    "b": Surface.BASS_DRUM,
    "o": Surface.OPEN_HI_HAT,
    "k": Surface.CROSS_STICK,
}


def played(letters: str, **first: str) -> Fill:
    """A bar of eighths, a letter each; the first stroke with hand, dynamic or ornament."""
    strokes = [Stroke(SHORT[letter]) for letter in letters]
    return Fill(EIGHTHS, (strokes[0]._replace(**first), *strokes[1:]))


@pytest.mark.parametrize(
    ("letters", "name"),
    [
        ("ssssssss", "All on the snare"),
        ("sbsbsbsb", "Snare and bass drum"),
        ("bbbbbbbb", "All on the bass drum"),
        ("cccccccc", "All on the crash"),
        ("sssscsss", "Snare and crash"),
        ("sskskkss", "Snare and rim click"),
        ("sshhmmff", "Down the toms"),
        ("ffsmsshh", "Up the toms"),
        ("shhsfsss", "Down the toms"),
        ("hmfhmfhm", "High tom to mid tom"),
        ("xsxhmsff", "Hi-hat to floor tom"),
        ("cshsfssc", "Crash and back"),
        ("osssssrs", "Hi-hat to ride"),
    ],
)
def test_says_where_it_travels(letters, name):
    assert route_name(played(letters)) == name


def named(*letters: str) -> list[str]:
    """The names of fills that one student gets, one after the other."""
    had: dict[str, Fill] = {}
    for fill in map(played, letters):
        had[fill_name(fill, had)] = fill
    return list(had)


def test_the_second_one_says_by_what_it_goes():
    assert named("xssssssf", "xsrssrsf") == [
        "Hi-hat to floor tom",
        "Hi-hat to floor tom by the ride",
    ]


def test_of_what_is_between_the_most_struck_comes_first():
    assert named("xssssssf", "xcsrrsrf")[1] == "Hi-hat to floor tom by the ride"


def test_then_from_where_it_goes():
    assert named("xssssssf", "ssssxssf")[1] == "Hi-hat to floor tom from beat 3"
    assert named("xssssssf", "sssssxsf")[1] == "Hi-hat to floor tom from the & of 3"


def test_then_what_it_plays_most():
    assert named("xssssssf", "xsssssff", "xxxxxxsf")[2] == "Hi-hat to floor tom, mostly hi-hat"


def test_at_last_it_has_a_number():
    had = {name: played("xssssssf") for name in named("xssssssf")}
    for _ in range(40):
        had[fill_name(played("xssssssf"), had)] = played("xssssssf")
    assert "Hi-hat to floor tom, no. 2" in had


@pytest.mark.parametrize(
    ("other", "detail"),
    [
        (played("xssssssf", limb="L"), "starting left"),
        (played("xssssssf", limb="R"), "starting right"),
        (played("xssssssf", dynamic="accent"), "accent on 1"),
        (played("xssssssf", dynamic="ghost"), "ghost on 1"),
        (played("xssssssf", ornament="flam"), "flam on 1"),
        (played("ossssssf"), "open hi-hat on 1"),
    ],
)
def test_where_it_travels_as_another_it_says_what_differs(other, detail):
    had = {"Hi-hat to floor tom": played("xssssssf")}
    assert fill_name(other, had) == f"Hi-hat to floor tom, {detail}"


def test_a_foot_tells_it_from_another():
    plain = played("xssssssf")
    with_foot = stroke_of([Hit(Surface.SNARE), Hit(Surface.BASS_DRUM, "RF")])
    strokes = (*plain.strokes[:6], with_foot, plain.strokes[7])
    other = Fill(EIGHTHS, strokes)
    had = {"Hi-hat to floor tom": plain}
    assert fill_name(other, had) == "Hi-hat to floor tom, with bass drum on 4"


def test_eighths_are_counted_in_six_eight():
    bar = Bar.from_counts("1 2 3 4 5 6", "6/8")
    strokes = [Stroke(SHORT[letter]) for letter in "ssssxf"]
    had = {"Hi-hat to floor tom": played("xssssssf")}
    assert fill_name(Fill(bar, tuple(strokes)), had) == "Hi-hat to floor tom from beat 5"


def test_a_later_bar_is_named():
    bar = Bar.from_counts("1 2 3 4 | 1 2 3 4")
    strokes = [Stroke(SHORT[letter]) for letter in "sssssxsf"]
    had = {"Hi-hat to floor tom": played("xssssssf")}
    assert fill_name(Fill(bar, tuple(strokes)), had) == "Hi-hat to floor tom from beat 2, bar 2"


def test_capitals_do_not_make_another_name():
    assert (
        fill_name(played("sssssscs"), {"SNARE AND CRASH": snare_fill(EIGHTHS)}) != "Snare and crash"
    )


@given(st.one_of(fills(), fills(together=True)))
def test_any_fill_has_a_name_of_few_letters(fill):
    assert 0 < len(route_name(fill)) <= LONGEST


@given(fills_of_one_bar())
def test_no_two_are_called_alike(some):
    had: dict[str, Fill] = {}
    for fill in [*some.values(), *some.values()]:
        name = fill_name(fill, had)
        assert name.casefold() not in {other.casefold() for other in had}
        assert len(name) <= LONGEST
        had[name] = fill


def test_two_thousand_eighths_given_eight_at_a_time_need_no_number():
    space = FillSpace(EIGHTHS, RuleSet(()), Kit.standard())
    drawn = list(space.sample(2000, seed=11))
    names: list[str] = []
    for start in range(0, len(drawn), 8):
        had: dict[str, Fill] = {}
        for fill in drawn[start : start + 8]:
            had[fill_name(fill, had)] = fill
        names += had
    assert len(names) == 2000
    assert not [name for name in names if ", no. " in name]
