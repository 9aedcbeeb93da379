"""What is written in a voice, whatever the format."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from rhythms.engine import Stroke

#: The index of what belongs to no stroke of the fill.
NO_STROKE = -1


@dataclass(frozen=True)
class Symbol:
    """One symbol of a voice; times in quarter lengths.

    A note has its ``stroke``, or what this voice plays of it, and the stroke's ``index`` in the
    fill; feet that only keep going have no index. ``tied_from``: it continues the symbol before it;
    ``tied_to``: the next one continues it. ``under``: it is the feet of a stroke that hands play
    too. A symbol without a stroke is a rest, or nothing at all where ``hidden``.
    """

    onset: Fraction
    length: Fraction
    value: str
    stroke: Stroke | None = None
    index: int = NO_STROKE
    tied_from: bool = False
    tied_to: bool = False
    under: bool = False
    hidden: bool = False

    @property
    def end(self) -> Fraction:
        """Where the symbol stops."""
        return self.onset + self.length

    @property
    def by_hand(self) -> bool:
        """Whether a hand plays it."""
        return self.stroke is not None and not self.stroke.by_foot

    @property
    def by_foot(self) -> bool:
        """Whether a foot plays it, alone or beside hands."""
        return self.stroke is not None and bool(self.stroke.foot_hits)

    @property
    def attack(self) -> bool:
        """Whether a stroke starts here."""
        return self.stroke is not None and not self.tied_from

    @property
    def named(self) -> bool:
        """Whether words under the staff belong to it: hand, count."""
        return self.attack and self.index != NO_STROKE and not self.under


@dataclass(frozen=True)
class Voice:
    """``number`` as `staff_placement` has it; the symbols fill the bar."""

    number: int
    symbols: tuple[Symbol, ...]
