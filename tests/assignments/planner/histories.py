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
    "7/4": "1 2 3 4 5 6 7 & ",
    "6/8": "1 2 3 4 & 5 & 6 &",
    "7/8": "1 2 3 4 5 6 7 &",
    "9/8": "1 2 3 4 5 6 7 8 9",
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


@st.composite
def pieces(draw):
    """Up to eight pieces in any meter, block and tempo, some mastered."""
    fills = st.builds(
        a_fill,
        st.lists(st.sampled_from(SURFACES), min_size=1, max_size=3),
        st.sampled_from(METERS),
    )
    found = []
    for number in range(draw(st.integers(0, 8))):
        given_ago = draw(st.integers(-3, 60))
        mastered = draw(st.none() | st.integers(1, 60))
        found.append(
            Piece(
                number,
                draw(fills),
                draw(st.sampled_from((4, 8, 12, 16))),
                draw(st.integers(30, 240)),
                days_ago(given_ago),
                top=draw(st.none() | st.integers(30, 300)),
                mastered_on=None if mastered is None else days_ago(mastered),
            )
        )
    return found


@st.composite
def sittings(draw, count: int):
    """A log about `count` pieces, up to today."""
    lines = []
    for _ in range(draw(st.integers(0, 25)) if count else 0):
        loops = draw(st.none() | st.integers(1, 20))
        lines.append(
            Sitting(
                draw(st.integers(0, count - 1)),
                days_ago(draw(st.integers(0, 40))),
                draw(st.none() | st.integers(30, 240)),
                loops,
                None if loops is None else draw(st.none() | st.integers(0, loops)),
                draw(st.sampled_from(("", "easy", "good", "hard", "sore"))),
                draw(st.booleans()),
            )
        )
    return lines


@st.composite
def histories(draw):
    stand = draw(pieces())
    return stand, draw(sittings(len(stand)))
