"""A bar as it is played, its fills as plain names, and which notes a rule speaks of.

On a grid of 16ths in quarter-note meters.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import NamedTuple, TypeVar

from rhythms.engine import Bar, Kit

FAMILIES = {
    "toms": ["high tom", "mid tom", "floor tom"],
    "cymbals": ["hi-hat", "ride", "crash", "splash", "china"],
    "bells": ["ride bell", "cowbell"],
}
FEET = {"bass drum": "RF", "hi-hat foot": "LF"}
#: Ways of striking, and what they are played on; and the one that needs nothing of the kit.
WAYS = {"open hi-hat": "hi-hat", "half-open hi-hat": "hi-hat", "rim shot": "snare"}
STICKS = "stick on stick"
SWAP = {"R": "L", "L": "R"}
#: Rules that are tried together at the most.
MOST_RULES = 10
T = TypeVar("T")


class Blow(NamedTuple):
    surface: str
    limb: str | None
    dynamic: str = "normal"


class Struck(NamedTuple):
    """One onset: what the hands strike, and what the feet do."""

    hands: tuple[Blow, ...]
    feet: tuple[Blow, ...] = ()
    ornament: str | None = None

    @property
    def by_hand(self) -> set[str]:
        return {blow.surface for blow in self.hands}

    @property
    def by_foot(self) -> set[str]:
        return {blow.surface for blow in self.feet}

    @property
    def hand_drums(self) -> set[str]:
        """What the hands strike, however it is struck."""
        return {drum(surface) for surface in self.by_hand}

    @property
    def drums(self) -> set[str]:
        return self.hand_drums | self.by_foot


def drum(surface: str) -> str:
    return WAYS.get(surface, surface)


class Case(NamedTuple):
    """A bar as it is played, which of its notes were rests, and the kit."""

    bar: Bar
    rested: list[bool]
    kit: Kit
    by_feet: list[bool] = []
    unwritten: list[dict] = []

    @property
    def notes(self) -> int:
        return len(self.bar.sounded)


def once_for_a_bar(find: Callable[[dict, Case], T]) -> Callable[[dict, Case], T]:
    """What a rule says of the bar is the same for every fill that is tried: it is found once."""
    found: list[tuple[dict, Case, T]] = []

    @wraps(find)
    def of_the_bar(rule: dict, case: Case) -> T:
        for known_rule, known_case, answer in found:
            if known_rule is rule and known_case is case:
                return answer
        del found[MOST_RULES:]
        found.insert(0, (rule, case, find(rule, case)))
        return found[0][2]

    return of_the_bar


@once_for_a_bar
def scoped(rule: dict, case: Case) -> list[bool]:
    """The notes a rule's conditions hold for, rests that became notes included."""
    inside = []
    for note in case.bar.sounded:
        slot = note.onset * 4
        assert slot.denominator == 1
        beat, part = divmod(int(slot) % (4 * case.bar.meter.count), 4)
        count = f"{beat + 1}" if part == 0 else f"{beat + 1} {('e', '&', 'a')[part - 1]}"
        inside.append(
            ("values" not in rule or note.value in rule["values"])
            and rule.get("position") in (None, "on the beat" if part == 0 else "off the beat")
            and ("counts" not in rule or count in rule["counts"])
            and rule.get("accent") in (None, "accented" if note.accent else "not accented")
        )
    return inside


@once_for_a_bar
def members(rule: dict, case: Case) -> list[bool]:
    return [a and not b for a, b in zip(scoped(rule, case), case.rested, strict=True)]


def ways_on(kit: Kit) -> list[str]:
    return [way for way, on in WAYS.items() if on in kit.surfaces] + [STICKS]


def surfaces_of(choice: object, kit: Kit) -> set[str]:
    """With what is named all ways of striking it."""
    hand = {*map(str, kit.hand_surfaces), *ways_on(kit)}
    if isinstance(choice, dict):
        return hand - surfaces_of(choice["anything but"], kit)
    chosen: set[str] = set()
    for name in choice:
        chosen |= hand if name == "anything" else set(FAMILIES.get(name, [name]))
    return chosen | {way for way, on in WAYS.items() if on in chosen}


def pairs_of(rule: dict, kit: Kit) -> set[frozenset[str]]:
    """Two surfaces of the hands on two drums; sticks take both hands already."""
    there = {*map(str, kit.hand_surfaces), *ways_on(kit)} - {STICKS}
    one, other = (surfaces_of(rule[part], kit) & there for part in ("one", "other"))
    return {frozenset((a, b)) for a in one for b in other if drum(a) != drum(b)}
