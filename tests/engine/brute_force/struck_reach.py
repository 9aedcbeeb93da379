"""What is within reach of each note before any rule narrows it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import product

from rhythms.engine import Bar, Kit
from rhythms.engine.kits.kit_layout import PLACES
from tests.engine.brute_force.note_rules import foot_takes, letters_of_linear
from tests.engine.brute_force.played_case import (
    FEET,
    STICKS,
    SWAP,
    WAYS,
    Blow,
    Case,
    Struck,
    members,
    pairs_of,
    scoped,
    surfaces_of,
    ways_on,
)
from tests.engine.brute_force.rhythm_rules import reshaped
from tests.engine.brute_force.sticking_letters import letters_laid


def played(bar: Bar, rules: list[dict], kit: Kit) -> Case:
    """The rhythm is changed first; rests become notes where a rule gives them to the feet."""
    bar, unwritten = reshaped(rules, bar)
    everything = Bar(bar.meter, tuple(replace(note, rest=False) for note in bar.notes))
    sounding = Case(everything, [False] * len(everything.sounded), kit)
    taken = set()
    for rule in rules:
        if rule["rule"] == "feet" and rule["on"] == "rests":
            taken |= {
                note.onset
                for note, inside in zip(everything.sounded, scoped(rule, sounding), strict=True)
                if inside and (bar.open_from is None or note.onset < bar.open_from)
            }
    notes = tuple(replace(note, rest=note.rest and note.onset not in taken) for note in bar.notes)
    whole = Bar(bar.meter, notes, bar.open_from)
    struck = {note.onset for note in bar.sounded}
    case = Case(whole, [note.onset not in struck for note in whole.sounded], kit)
    taken_by = [foot_takes(rule, case) for rule in rules if rule["rule"] == "feet"]
    by_feet = [any(takes) for takes in zip(*taken_by, strict=True)]
    return case._replace(by_feet=by_feet, unwritten=unwritten)


def within_reach(case: Case, rules: list[dict], note: int) -> Iterator[Struck]:
    """By surface, hand, dynamic, ornament, then by the second hand's surface, then by feet."""
    hands = ["R", "L"] if any(speaks_of_hands(rule) for rule in rules) else [None]
    touches = list(product(*touches_of(case, rules, note)))
    surfaces = surfaces_within_reach(case, rules, note)
    of_note = [rule for rule in rules if members(rule, case)[note]]
    for place, first in enumerate(surfaces):
        if first in FEET:
            for dynamic in dict.fromkeys(dynamic for dynamic, _ in touches):
                yield Struck((), (Blow(first, FEET[first], dynamic),))
            continue
        for hand, (dynamic, ornament) in product(hands, touches):
            if ornament and first == STICKS:
                continue
            for second in [None, *partners(case, of_note, first, surfaces[place + 1 :])]:
                if second and (ornament or crossed(hand, first, second, case.kit)):
                    continue
                beside = (Blow(second, hand and SWAP[hand], dynamic),) if second else ()
                struck = Struck((Blow(first, hand, dynamic), *beside), (), ornament)
                for feet in feet_under(case, of_note, struck.by_hand):
                    yield struck._replace(feet=feet)


def crossed(hand: str | None, first: str, second: str, kit: Kit) -> bool:
    """Whether the right hand is to the left of the left one; over the hi-hat it may be."""
    if hand is None or any("hi-hat" in name for name in (first, second)):
        return False
    right, left = (first, second) if (hand == "R") != kit.left_handed else (second, first)
    x = {str(surface): place.x for surface, place in PLACES.items()}
    return x[right] - x[left] < -10


def touches_of(case: Case, rules: list[dict], note: int) -> tuple[Iterable, Iterable]:
    """The dynamics and the ornaments that a note may have."""
    written = "accent" if case.bar.sounded[note].accent else "normal"
    dynamics, ornaments = [written], [None]
    for rule in rules:
        inside = members(rule, case)[note]
        if rule["rule"] == "dynamics" and inside:
            dynamics += ["normal"] * ("n" in rule) + [rule["dynamic"]]
        if rule["rule"] == "sticking" and (letter := letters_laid(rule, case)[note]):
            _, ornament, accent = letter
            dynamics += ["accent"] * accent
            ornaments += [ornament] * bool(ornament)
        if rule["rule"] == "ornament" and inside:
            ornaments.append(rule["ornament"])
    return dict.fromkeys(dynamics), dict.fromkeys(ornaments)


def surfaces_within_reach(case: Case, rules: list[dict], note: int) -> list[str]:
    """Those of the hands, and feet and ways of striking that a rule names for the note."""
    outright = {name for rule in rules for name in named_for(rule, case, note)}
    there = [*map(str, case.kit.surfaces), *ways_on(case.kit)]
    return [name for name in there if name not in {*FEET, *WAYS, STICKS} - outright]


def named_for(rule: dict, case: Case, note: int) -> list[str]:
    """The surfaces that a rule names for a note outright."""
    kind, inside = rule["rule"], members(rule, case)[note]
    if kind == "placement" and inside and isinstance(rule["surfaces"], list):
        return rule["surfaces"]
    if kind in ("start on", "end on") and isinstance(rule["surfaces"], list):
        at = 0 if kind == "start on" else case.notes - 1
        return rule["surfaces"] if note == at else []
    if kind == "both hands" and inside:
        return [name for part in ("one", "other") for name in rule[part] if name in WAYS]
    if kind == "feet" and foot_takes(rule, case)[note]:
        return list(FEET) if rule["foot"] == "either foot" else [rule["foot"]]
    if kind == "linear" and letters_of_linear(rule, case)[note] in ("F", "H"):
        return [{"F": "bass drum", "H": "hi-hat foot"}[letters_of_linear(rule, case)[note]]]
    return []


def partners(case: Case, rules: list[dict], first: str, behind: list[str]) -> list[str]:
    """What a second hand may strike with the first, of what comes after it."""
    pairs = [pairs_of(rule, case.kit) for rule in rules if rule["rule"] == "both hands"]
    return [second for second in behind if any({first, second} in some for some in pairs)]


def feet_under(case: Case, rules: list[dict], by_hand: set[str]) -> Iterator[tuple[Blow, ...]]:
    """Each foot that some rule puts under these, with and without it."""
    there = [
        (None, foot)
        for foot in FEET
        if foot in case.kit.surfaces
        and any(
            rule["foot"] == foot and surfaces_of(rule["surfaces"], case.kit) & by_hand
            for rule in rules
            if rule["rule"] == "foot under"
        )
        and not (foot == "hi-hat foot" and by_hand & {"open hi-hat", "half-open hi-hat"})
    ]
    for feet in product(*there):
        yield tuple(Blow(foot, FEET[foot]) for foot in feet if foot)


def speaks_of_hands(rule: dict) -> bool:
    return rule["rule"] in {
        "sticking",
        "linear",
        "hand stays",
        "hands apart",
        "no hand crosses",
        "doubles together",
    } or bool(rule.get("lead"))
