"""Whole loops of whole blocks that fill the minutes."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True)
class Slot:
    """Room in a plan: how long one block lasts, and how long the slot should be; in seconds."""

    block: Fraction
    wanted: Fraction


def loops_for(slots: Sequence[Slot], seconds: Fraction) -> list[int]:
    """Return how many loops each slot gets: together at most `seconds`, and nothing more fits.

    So the sum is less than one block short of the seconds. Where not even the shortest block
    fits, it gets one loop all the same, and nothing else is played.
    """
    if not slots:
        return []
    if all(slot.block > seconds for slot in slots):
        shortest = min(range(len(slots)), key=lambda place: slots[place].block)
        return [int(place == shortest) for place in range(len(slots))]
    loops = [int(slot.wanted // slot.block) for slot in slots]
    left = seconds - sum(n * slot.block for n, slot in zip(loops, slots, strict=True))
    while fitting := [place for place, slot in enumerate(slots) if slot.block <= left]:
        neediest = max(fitting, key=lambda place: _lacking(slots[place], loops[place]))
        loops[neediest] += 1
        left -= slots[neediest].block
    return loops


def _lacking(slot: Slot, loops: int) -> Fraction:
    """How many seconds it is short of what it should have; below 0 where it has more."""
    return slot.wanted - loops * slot.block
