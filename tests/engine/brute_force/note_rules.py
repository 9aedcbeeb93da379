"""What rules say of single notes."""

from __future__ import annotations

from tests.engine.brute_force.played_case import (
    FEET,
    STICKS,
    SWAP,
    Case,
    Struck,
    members,
    once_for_a_bar,
    scoped,
    surfaces_of,
)


def placement(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    """It speaks of hands, unless it names a surface of the feet."""
    allowed = surfaces_of(rule["surfaces"], case.kit)
    names_feet = isinstance(rule["surfaces"], list) and set(FEET) & set(rule["surfaces"])
    of_feet = case.by_feet if case.by_feet and not names_feet else [False] * case.notes
    return all(
        stroke.surface in allowed
        for stroke, inside, by_foot in zip(fill, members(rule, case), of_feet, strict=True)
        if inside and not by_foot
    )


def end(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    if not fill:
        return True
    stroke = fill[0] if rule["rule"] == "start on" else fill[-1]
    return stroke.surface in surfaces_of(rule["surfaces"], case.kit)


def dynamics(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    inside = [s for s, m in zip(fill, members(rule, case), strict=True) if m]
    marked = sum(stroke.dynamic == rule["dynamic"] for stroke in inside)
    return marked == rule.get("n", len(inside))


def ornament(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    inside = [s for s, m in zip(fill, members(rule, case), strict=True) if m]
    marked = [stroke for stroke in inside if stroke.ornament == rule["ornament"]]
    led = all(rule.get("lead") not in ("R", "L") or s.limb == rule["lead"] for s in marked)
    return led and len(marked) == rule.get("n", len(inside))


@once_for_a_bar
def foot_takes(rule: dict, case: Case) -> list[bool]:
    if rule["on"] == "notes":
        return members(rule, case)
    return [a and b for a, b in zip(scoped(rule, case), case.rested, strict=True)]


def feet(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    wanted = set(FEET) if rule["foot"] == "either foot" else {rule["foot"]}
    return all(
        stroke.surface in wanted
        for stroke, taken in zip(fill, foot_takes(rule, case), strict=True)
        if taken
    )


@once_for_a_bar
def letters_of_linear(rule: dict, case: Case) -> list[str | None]:
    taken, letters = 0, []
    for inside in members(rule, case):
        letters.append(rule["pattern"][taken % len(rule["pattern"])] if inside else None)
        taken += inside
    return letters


def linear(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    feet_letters = {"F": "bass drum", "H": "hi-hat foot"}
    for stroke, wanted in zip(fill, letters_of_linear(rule, case), strict=True):
        if wanted in feet_letters and stroke.surface != feet_letters[wanted]:
            return False
        if wanted in SWAP and stroke.limb != wanted:
            return False
    return True


def hand_stays(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    allowed = surfaces_of(rule["surfaces"], case.kit)
    return all(
        stroke.surface in allowed
        for stroke, inside in zip(fill, members(rule, case), strict=True)
        if inside and (stroke.limb == rule["hand"] or takes_both(stroke))
    )


def takes_both(stroke: Struck) -> bool:
    """Whether the other hand strikes too: grace notes, and stick on stick."""
    return stroke.ornament in ("flam", "drag") or stroke.surface == STICKS
