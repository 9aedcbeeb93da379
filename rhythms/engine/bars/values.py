"""Value classes: the notated values of notes, by name and exact length."""

from __future__ import annotations

from fractions import Fraction

#: Undotted values, longest first, in quarter lengths.
PLAIN: dict[str, Fraction] = {
    "whole": Fraction(4),
    "half": Fraction(2),
    "quarter": Fraction(1),
    "eighth": Fraction(1, 2),
    "16th": Fraction(1, 4),
    "32nd": Fraction(1, 8),
}
_DOTTED = {f"dotted {name}": length * 3 / 2 for name, length in PLAIN.items()}
#: The last word of a value inside a tuplet: so many in the time of so many.
TUPLETS: dict[str, tuple[int, int]] = {"triplet": (3, 2), "quintuplet": (5, 4)}
#: Those that stand in one beat of five: one to four parts of it.
_IN_FIVE = ("quarter", "eighth", "16th", "dotted eighth")
_IN_TUPLETS = {
    f"{name} {word}": length * normal / number
    for word, (number, normal) in TUPLETS.items()
    for name, length in {**PLAIN, **_DOTTED}.items()
    if (
        name not in ("whole", "dotted whole", "dotted half")
        if word == "triplet"
        else name in _IN_FIVE
    )
}

#: Every value class and its length in quarter lengths.
LENGTHS: dict[str, Fraction] = {**PLAIN, **_DOTTED, **_IN_TUPLETS}
_SIMPLE_OF = {length: name for name, length in {**PLAIN, **_DOTTED}.items()}
_TUPLET_VALUE_OF = {length: name for name, length in _IN_TUPLETS.items()}


def simple_value(length: Fraction) -> str | None:
    """The plain or dotted value of exactly ``length`` quarter lengths, if there is one."""
    return _SIMPLE_OF.get(length)


def tuplet_value(length: Fraction) -> str | None:
    """The triplet or quintuplet value of exactly ``length`` quarter lengths, if there is one."""
    return _TUPLET_VALUE_OF.get(length)


def tuplet_of(value: str) -> tuple[int, int] | None:
    """How many in the time of how many, where a note of this value class stands in a tuplet."""
    return TUPLETS.get(value.rpartition(" ")[2])


def written(value: str) -> tuple[str, int]:
    """How a value is drawn: its undotted name and its number of dots; the tuplet is beside it."""
    name = value.rpartition(" ")[0] if tuplet_of(value) else value
    plain = name.removeprefix("dotted ")
    return plain, int(plain != name)


def plural(value: str) -> str:
    """``eighth`` -> ``eighths``; ``half`` -> ``halves``, as a teacher would say."""
    return "halves" if value == "half" else f"{value}s"
