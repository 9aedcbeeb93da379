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
#: Three in the time of two.
_TRIPLET = {
    f"{name} triplet": length * 2 / 3
    for name, length in {**PLAIN, **_DOTTED}.items()
    if name not in ("whole", "dotted whole", "dotted half")
}

#: Every value class and its length in quarter lengths.
LENGTHS: dict[str, Fraction] = {**PLAIN, **_DOTTED, **_TRIPLET}
_SIMPLE = {length: name for name, length in {**PLAIN, **_DOTTED}.items()}
_IN_TRIPLETS = {LENGTHS[name]: name for name in _TRIPLET}


def simple_value(length: Fraction) -> str | None:
    """The plain or dotted value of exactly ``length`` quarter lengths, if there is one."""
    return _SIMPLE.get(length)


def triplet_value(length: Fraction) -> str | None:
    """The triplet value of exactly ``length`` quarter lengths, if there is one."""
    return _IN_TRIPLETS.get(length)


def is_triplet(value: str) -> bool:
    """Whether a note of this value class stands inside a triplet."""
    return value.endswith(" triplet")


def written(value: str) -> tuple[str, int]:
    """How a value is drawn: its undotted name and its number of dots; the tuplet is beside it."""
    name = value.removesuffix(" triplet")
    plain = name.removeprefix("dotted ")
    return plain, int(plain != name)


def plural(value: str) -> str:
    """``eighth`` -> ``eighths``; ``half`` -> ``halves``, as a teacher would say."""
    return "halves" if value == "half" else f"{value}s"
