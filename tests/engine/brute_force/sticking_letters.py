"""Which hand the letters of a sticking ask for."""

from __future__ import annotations

from rhythms.engine.rules.rudiments import OVERLAYS
from tests.engine.brute_force.played_case import (
    FEET,
    SWAP,
    Case,
    Struck,
    members,
    once_for_a_bar,
)

#: Letters that a rudiment accents, as the published sheet writes them.
ACCENTED = {
    "single paradiddle": "> . . . > . . .",
    "double paradiddle": "> . . . . . > . . . . .",
    "triple paradiddle": "> . . . . . . . > . . . . . . .",
    "paradiddle-diddle": "> . . . . .",
    "six stroke roll as even notes": "> . . . . >",
}


@once_for_a_bar
def places_of_letters(rule: dict, case: Case) -> list[int | None]:
    """How many letters came before that of each note; None where a note takes none."""
    taken, beat, places = 0, None, []
    for note, inside in zip(case.bar.sounded, members(rule, case), strict=True):
        slot = int(note.onset * 4)
        if rule["restart"] == "beat" and slot // 4 != beat:
            taken, beat = 0, slot // 4
        in_grid = slot % 4 if rule["restart"] == "beat" else slot
        places.append((taken if rule["follow"] == "notes" else in_grid) if inside else None)
        taken += inside
    return places


@once_for_a_bar
def accented(rule: dict, case: Case) -> list[bool]:
    marks = ACCENTED.get(rule["rudiment"], ".").split()
    on = rule.get("accents") == "rudiment"
    return [
        on and place is not None and marks[place % len(marks)] == ">"
        for place in places_of_letters(rule, case)
    ]


def sticking(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    last = None
    placed = zip(
        case.bar.sounded, fill, places_of_letters(rule, case), accented(rule, case), strict=True
    )
    for note, stroke, place, accent in placed:
        slot = int(note.onset * 4)
        wanted = hand_of_others(rule, slot, last) if place is None else letter(rule, place)
        if stroke.surface in FEET:
            continue
        if accent and stroke.dynamic != "accent":
            return False
        if stroke.limb != wanted and wanted is not None:
            return False
        last = stroke.limb
    return True


def letter(rule: dict, place: int) -> str:
    letters = OVERLAYS[rule["rudiment"]]
    hand = letters[place % len(letters)]
    return hand if letters[0] == rule["lead"] else SWAP[hand]


def hand_of_others(rule: dict, slot: int, last: str | None) -> str | None:
    if rule["others"] == "grid":
        return rule["lead"] if slot % 2 == 0 else SWAP[rule["lead"]]
    if rule["others"] == "alternate":
        return rule["lead"] if last is None else SWAP[last]
    return None
