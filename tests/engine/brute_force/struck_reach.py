"""What is within reach of each note before any rule narrows it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import product

from rhythms.engine import Bar, Kit
from tests.engine.brute_force.note_rules import foot_takes, letters_of_linear
from tests.engine.brute_force.played_case import FEET, STICKS, WAYS, Case, Struck, scoped, ways_on
from tests.engine.brute_force.rhythm_rules import reshaped
from tests.engine.brute_force.sticking_letters import letters_laid


def played(bar: Bar, rules: list[dict], kit: Kit) -> Case:
    """The rhythm is changed first; rests become notes where a rule gives them to the feet."""
    for rule in rules:
        bar = reshaped(rule, bar)
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
    return case._replace(by_feet=[any(takes) for takes in zip(*taken_by, strict=True)])


def within_reach(case: Case, rules: list[dict], note: int) -> Iterator[Struck]:
    hands = ["R", "L"] if any(speaks_of_hands(rule) for rule in rules) else [None]
    written = "accent" if case.bar.sounded[note].accent else "normal"
    dynamics, ornaments, named = [written], [None], set()
    for rule in rules:
        inside = scoped(rule, case)[note] and not case.rested[note]
        if rule["rule"] == "dynamics" and inside:
            dynamics += ["normal"] * ("n" in rule) + [rule["dynamic"]]
        if rule["rule"] == "sticking" and (letter := letters_laid(rule, case)[note]):
            _, ornament, accent = letter
            dynamics += ["accent"] * accent
            ornaments += [ornament] * bool(ornament)
        if rule["rule"] == "ornament" and inside:
            ornaments.append(rule["ornament"])
        named |= set(named_for(rule, case, note, inside))
    for surface in [*map(str, case.kit.surfaces), *ways_on(case.kit)]:
        if surface in {*FEET, *WAYS, STICKS} - named:
            continue
        limbs = [FEET[surface]] if surface in FEET else hands
        touches = [None] if surface in {*FEET, STICKS} else ornaments
        for limb, dynamic, ornament in product(
            limbs, dict.fromkeys(dynamics), dict.fromkeys(touches)
        ):
            yield Struck(surface, limb, dynamic, ornament)


def named_for(rule: dict, case: Case, note: int, inside: bool) -> list[str]:
    """The surfaces that a rule names for a note outright."""
    kind = rule["rule"]
    if kind == "placement" and inside and isinstance(rule["surfaces"], list):
        return rule["surfaces"]
    if kind in ("start on", "end on") and isinstance(rule["surfaces"], list):
        at = 0 if kind == "start on" else case.notes - 1
        return rule["surfaces"] if note == at else []
    if kind == "feet" and foot_takes(rule, case)[note]:
        return list(FEET) if rule["foot"] == "either foot" else [rule["foot"]]
    if kind == "linear" and letters_of_linear(rule, case)[note] in ("F", "H"):
        return [{"F": "bass drum", "H": "hi-hat foot"}[letters_of_linear(rule, case)[note]]]
    return []


def speaks_of_hands(rule: dict) -> bool:
    return rule["rule"] in {
        "sticking",
        "linear",
        "hand stays",
        "hands apart",
        "no hand crosses",
        "doubles together",
    } or bool(rule.get("lead"))
