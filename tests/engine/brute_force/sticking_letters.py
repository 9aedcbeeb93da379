"""Which hand, ornament and accent the letters of a sticking ask for."""

from __future__ import annotations

from rhythms.engine.rudiments.overlays import STICKINGS
from tests.engine.brute_force.played_case import (
    SWAP,
    Case,
    Struck,
    members,
    once_for_a_bar,
)


def slots_of_a_beat(case: Case) -> int:
    """The coarsest grid that everything written stands on: 16ths, eighths or quarters."""
    return max(note.onset.denominator for note in case.bar.notes)


@once_for_a_bar
def places_of_letters(rule: dict, case: Case) -> list[int | None]:
    """How many letters came before that of each note; None where a note takes none."""
    taken, beat, places = 0, None, []
    for note, inside in zip(case.bar.sounded, members(rule, case), strict=True):
        each = slots_of_a_beat(case)
        slot = int(note.onset * each)
        if rule["restart"] == "beat" and slot // each != beat:
            taken, beat = 0, slot // each
        in_grid = slot % each if rule["restart"] == "beat" else slot
        places.append((taken if rule["follow"] == "notes" else in_grid) if inside else None)
        taken += inside
    return places


@once_for_a_bar
def letters_laid(rule: dict, case: Case) -> list[tuple[str, str | None, bool] | None]:
    """Hand, ornament and accent that each note takes from the rudiment; None for the others."""
    cycle = STICKINGS[rule["rudiment"]]
    swap = cycle[0].hand != rule["lead"]
    laid = []
    for place in places_of_letters(rule, case):
        if place is None:
            laid.append(None)
            continue
        hand, ornament, accent = cycle[place % len(cycle)]
        laid.append((SWAP[hand] if swap else hand, ornament, accent and "accents" in rule))
    return laid


def sticking(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    last = None
    for note, stroke, letter in zip(case.bar.sounded, fill, letters_laid(rule, case), strict=True):
        if not stroke.hands:
            continue
        slot = int(note.onset * slots_of_a_beat(case))
        free = hand_of_others(rule, slot, last), None, False
        hand, ornament, accent = letter or free
        if accent and any(blow.dynamic != "accent" for blow in stroke.hands):
            return False
        if ornament is not None and stroke.ornament != ornament:
            return False
        # Both hands have either letter, and whatever follows has another hand than one of them.
        hands = [blow.limb for blow in stroke.hands]
        if hand is not None and hand not in hands:
            return False
        last = hands[0] if len(hands) == 1 else "both"
    return True


def hand_of_others(rule: dict, slot: int, last: str | None) -> str | None:
    if rule["others"] == "grid":
        return rule["lead"] if slot % 2 == 0 else SWAP[rule["lead"]]
    if rule["others"] == "alternate":
        return rule["lead"] if last is None else SWAP.get(last)
    return None
