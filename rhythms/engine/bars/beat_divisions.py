"""How a beat is divided to be counted: its places, and the syllable of each.

Numbers, ``e & a`` and ``trip let`` are the traditional American system. Between 16ths ``ta`` is
said (the Eastman system's word for what lies between); ``ka di mi ti`` after the number of a beat
in five are those of Takadimi (Hoffman, Pelto and White 1996). In quarter-note meters each half of
a beat may be counted apart, ``1 e & trip let``; in eighth-note meters each eighth,
``1 & 2 trip let 3 e & a``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import product
from typing import NamedTuple

from rhythms.engine.bars.meter import Beat


class Count(NamedTuple):
    """One place of a grid: ``offset`` from its beginning in quarters, and its syllable."""

    offset: Fraction
    label: str


Grid = tuple[Count, ...]


@dataclass(frozen=True)
class Division:
    """One way to count a beat: its name for a list, and its ``counts`` in order.

    ``needs`` has for each place which one must be said before it, or a later one (0 is the beat's
    own): syllables that come several times in a beat have their place only after others. In an
    ``open`` division dashes may stand for any place; in the others what is held is named.
    """

    name: str
    counts: Grid
    needs: tuple[int, ...]
    open: bool = False

    def holds(self, offsets: frozenset[Fraction]) -> bool:
        """Whether each of these places, in quarters from the beat, is counted."""
        return offsets <= {count.offset for count in self.counts}


class _Part(NamedTuple):
    """A half of a beat, or an eighth, counted apart: the syllables after its first one.

    ``first`` and ``second`` for the halves of a quarter, ``eighth`` for an eighth of its own.
    """

    name: str
    first: tuple[str, ...]
    second: tuple[str, ...]
    eighth: tuple[str, ...]


_SIXTEENTHS = _Part("16ths", ("e",), ("a",), ("&",))
_TRIPLETS = _Part("triplets", ("trip", "let"), ("trip", "let"), ("trip", "let"))
_FINEST = _Part("32nds", ("ta", "e", "ta"), ("ta", "a", "ta"), ("e", "&", "a"))
_PARTS = (_SIXTEENTHS, _TRIPLETS, _FINEST)
#: Said between two 16ths; it has its place only right after one of them.
BETWEEN = "ta"


def divisions_of(beat: Beat, *, in_eighths: bool) -> tuple[Division, ...]:
    """The ways a beat can be counted, those of today's lines first, each coarsest first."""
    return _of_eighths(beat.number, beat.length) if in_eighths else _of_a_quarter(beat.number)


@lru_cache(maxsize=64)
def _of_a_quarter(number: int) -> tuple[Division, ...]:
    first = str(number)
    whole = [
        _even("quarter", (first,)),
        _even("eighths", (first, "&")),
        _even("16ths", (first, "e", "&", "a")),
        _even("triplets", (first, "trip", "let")),
        _even("sextuplets", (first, "trip", "let", "&", "trip", "let")),
        _even("quintuplets", (first, "ka", "di", "mi", "ti"), open_to_dashes=False),
    ]
    halves = (
        _of_parts(pair, [(first, *pair[0].first), ("&", *pair[1].second)])
        for pair in product(_PARTS, repeat=2)
        if pair not in ((_SIXTEENTHS, _SIXTEENTHS), (_TRIPLETS, _TRIPLETS))
    )
    return (*whole, *sorted(halves, key=lambda one: len(one.counts)))


@lru_cache(maxsize=64)
def _of_eighths(number: int, length: Fraction) -> tuple[Division, ...]:
    numbers = [str(number + place) for place in range(round(length * 2))]
    eighths = tuple(Count(Fraction(place, 2), label) for place, label in enumerate(numbers))
    sixteenths = _of_parts(
        (_SIXTEENTHS,) * len(numbers), [(label, "&") for label in numbers]
    ).counts
    others = [
        _of_parts(
            parts, [(label, *part.eighth) for label, part in zip(numbers, parts, strict=True)]
        )
        for parts in product(_PARTS, repeat=len(numbers))
        if set(parts) != {_SIXTEENTHS}
    ]
    return (
        Division("eighths", eighths, (0,) * len(eighths), open=True),
        Division("16ths", sixteenths, (0,) * len(sixteenths), open=True),
        *sorted(others, key=lambda one: (len(one.counts), "+" in one.name)),
    )


def _even(name: str, labels: Sequence[str], *, open_to_dashes: bool = True) -> Division:
    counts = tuple(Count(Fraction(k, len(labels)), label) for k, label in enumerate(labels))
    return Division(name, counts, (0,) * len(counts), open=open_to_dashes)


def _of_parts(parts: Sequence[_Part], labels: Sequence[Sequence[str]]) -> Division:
    """Parts of an eighth's length, each with its labels in even steps."""
    counts = [
        Count(Fraction(number, 2) + Fraction(place, 2 * len(said)), label)
        for number, said in enumerate(labels)
        for place, label in enumerate(said)
    ]
    names = [part.name for part in parts]
    name = names[0] if len(set(names)) == 1 else " + ".join(names)
    apart = labels[-1][0] != "&" or _TRIPLETS in parts
    return Division(name, tuple(counts), tuple(_needs(labels, apart=apart)))


def _needs(labels: Sequence[Sequence[str]], *, apart: bool) -> Iterator[int]:
    """``apart``: what is said in a part comes after the first of that part."""
    place = 0
    for said in labels:
        for inside, label in enumerate(said):
            if label == BETWEEN:
                yield place + inside - 1
            else:
                yield place if inside and apart else 0
        place += len(said)
