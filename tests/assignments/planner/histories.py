"""Random stands and logs for the planner's tests."""

from datetime import date, timedelta
from functools import cache

from hypothesis import strategies as st

from assignments.planner.history import Piece, Sitting
from rhythms.engine import Bar, Fill, Stroke, Surface
from tests.strategies import METERS

DAY = date(2026, 11, 25)
SURFACES = (Surface.SNARE, Surface.HIGH_TOM, Surface.MID_TOM, Surface.FLOOR_TOM, Surface.CRASH)
COUNTS = {
    "2/4": "1 e & a 2",
    "3/4": "1 & 2 e & a 3",
    "4/4": "1 & 2 e & a 3 & 4 e & a",
    "5/4": "1 2 3 4 5 e & a",
    "5/4 (3+2)": "1 2 3 4 5 e & a",
    "7/4": "1 2 3 4 5 6 7 & ",
    "5/8": "1 2 3 4 5 &",
    "6/8": "1 2 3 4 & 5 & 6 &",
    "7/8": "1 2 3 4 5 6 7 &",
    "7/8 (3+2+2)": "1 2 3 4 5 6 7 &",
    "9/8": "1 2 3 4 5 6 7 8 9",
    "9/8 (2+2+2+3)": "1 2 3 4 5 6 7 8 9",
    "12/8": "1 2 3 4 5 6 7 8 9 10 11 12",
}
assert set(COUNTS) == set(METERS)


def days_ago(days: int) -> date:
    return DAY - timedelta(days=days)


def a_fill(surfaces=(Surface.SNARE,), meter: str = "4/4") -> Fill:
    """A fill that goes round these surfaces again and again."""
    return _a_fill(tuple(surfaces), meter)


@cache
def _a_fill(surfaces: tuple[Surface, ...], meter: str) -> Fill:
    bar = Bar.from_counts(COUNTS[meter].strip(), meter)
    count = len(bar.sounded)
    return Fill(bar, tuple(Stroke(surfaces[n % len(surfaces)]) for n in range(count)))


def a_piece(number: int, **details) -> Piece:
    """A piece unlike those of other numbers, given a month ago."""
    start = number % len(SURFACES)
    turned = SURFACES[start:] + SURFACES[:start]
    fill = details.pop("fill", None) or a_fill(turned[: 2 + number // len(SURFACES)])
    return Piece(number, fill, **{"block_bars": 4, "goal": 80, "given_on": days_ago(30), **details})


def clean(piece: int, ago: int, tempo: int | None = None, **details) -> Sitting:
    return Sitting(piece, days_ago(ago), tempo, loops=4, clean_loops=4, **details)


def poor(piece: int, ago: int, tempo: int | None = None, **details) -> Sitting:
    return Sitting(piece, days_ago(ago), tempo, loops=4, clean_loops=1, **details)


def _or_none(numbers: range) -> st.SearchStrategy[int | None]:
    """None as often as a number, in one draw: the laws make a million of them."""
    return st.sampled_from([*[None] * len(numbers), *numbers])


_FILLS = st.builds(
    a_fill,
    st.lists(st.sampled_from(SURFACES), min_size=1, max_size=3),
    st.sampled_from(METERS),
)
_HOW_MANY_PIECES, _HOW_MANY_SITTINGS = st.integers(0, 8), st.integers(0, 25)
_BLOCKS, _GIVEN_AGO = st.sampled_from((4, 8, 12, 16)), st.integers(-3, 60)
_MASTERED_AGO = _or_none(range(1, 61))
_TEMPOS, _TOP = st.integers(30, 240), _or_none(range(30, 301))
_PLAYED_AT, _PLAYED_AGO = _or_none(range(30, 241)), st.integers(0, 40)
_LOOPS, _FELT = _or_none(range(1, 21)), st.sampled_from(("", "easy", "good", "hard", "sore"))
_CLEAN = {loops: _or_none(range(loops + 1)) for loops in range(1, 21)}
_RECHECK = st.booleans()
_ONE_OF = {count: st.sampled_from(range(count)) for count in range(1, 9)}


@st.composite
def pieces(draw):
    """Up to eight pieces in any meter, block and tempo, some mastered."""
    found = []
    for number in range(draw(_HOW_MANY_PIECES)):
        mastered = draw(_MASTERED_AGO)
        found.append(
            Piece(
                number,
                draw(_FILLS),
                draw(_BLOCKS),
                draw(_TEMPOS),
                days_ago(draw(_GIVEN_AGO)),
                top=draw(_TOP),
                mastered_on=None if mastered is None else days_ago(mastered),
            )
        )
    return found


@st.composite
def sittings(draw, count: int):
    """A log about `count` pieces, up to today."""
    lines = []
    for _ in range(draw(_HOW_MANY_SITTINGS) if count else 0):
        loops = draw(_LOOPS)
        lines.append(
            Sitting(
                draw(_ONE_OF[count]),
                days_ago(draw(_PLAYED_AGO)),
                draw(_PLAYED_AT),
                loops,
                None if loops is None else draw(_CLEAN[loops]),
                draw(_FELT),
                draw(_RECHECK),
            )
        )
    return lines


@st.composite
def histories(draw):
    stand = draw(pieces())
    return stand, draw(sittings(len(stand)))
