"""What rules say of single notes."""

from __future__ import annotations

from rhythms.engine import Kit
from tests.engine.brute_force.played_case import (
    FEET,
    STICKS,
    SWAP,
    Case,
    Struck,
    members,
    once_for_a_bar,
    pairs_of,
    scoped,
    surfaces_of,
)


def goes(choice: object, stroke: Struck, kit: Kit) -> bool:
    """Either hand is there, or of "anything but" no hand elsewhere; feet count where the hands do
    not strike, or where one of theirs is named."""
    allowed = surfaces_of(choice, kit)
    if isinstance(choice, dict):
        left_out = stroke.by_foot & set(choice["anything but"])
        return stroke.by_hand <= allowed and bool(stroke.hands) and not left_out
    return bool((stroke.by_hand | stroke.by_foot) & allowed)


def placement(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    """It speaks of hands, unless it names a surface of the feet."""
    names_feet = isinstance(rule["surfaces"], list) and set(FEET) & set(rule["surfaces"])
    of_feet = case.by_feet if case.by_feet and not names_feet else [False] * case.notes
    return all(
        goes(rule["surfaces"], stroke, case.kit)
        for stroke, inside, by_foot in zip(fill, members(rule, case), of_feet, strict=True)
        if inside and not by_foot
    )


def end(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    if not fill:
        return True
    stroke = fill[0] if rule["rule"] == "start on" else fill[-1]
    return goes(rule["surfaces"], stroke, case.kit)


def exactly(rule: dict, case: Case, marks: list[bool]) -> bool:
    """All of the rule's notes are marked, or as many as it says."""
    inside = [mark for mark, member in zip(marks, members(rule, case), strict=True) if member]
    return sum(inside) == rule.get("n", len(inside))


def dynamics(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    """A foot under the hands has no say."""
    touches = [{blow.dynamic for blow in stroke.hands or stroke.feet} for stroke in fill]
    return exactly(rule, case, [touch == {rule["dynamic"]} for touch in touches])


def both_hands(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    pairs = pairs_of(rule, case.kit)
    return exactly(rule, case, [stroke.by_hand in pairs for stroke in fill])


def foot_under(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    if rule.get("when") == "maybe":
        return True
    on = surfaces_of(rule["surfaces"], case.kit)
    return all(
        rule["foot"] in stroke.by_foot
        for stroke, inside in zip(fill, members(rule, case), strict=True)
        if inside and stroke.by_hand & on
    )


def ornament(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    marks = [stroke.ornament == rule["ornament"] for stroke in fill]
    led = [rule.get("lead") in ("R", "L") and stroke.hands[:1] for stroke in fill]
    by_lead = all(
        hands[0].limb == rule["lead"]
        for hands, mark, inside in zip(led, marks, members(rule, case), strict=True)
        if hands and mark and inside
    )
    return by_lead and exactly(rule, case, marks)


@once_for_a_bar
def foot_takes(rule: dict, case: Case) -> list[bool]:
    if rule["on"] == "notes":
        return members(rule, case)
    return [a and b for a, b in zip(scoped(rule, case), case.rested, strict=True)]


def feet(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    wanted = set(FEET) if rule["foot"] == "either foot" else {rule["foot"]}
    return all(
        stroke.by_foot <= wanted and not stroke.hands
        for stroke, taken in zip(fill, foot_takes(rule, case), strict=True)
        if taken
    )


#: What the patterns are played in, the feet that they need, and the 16ths of a bar of two beats on
#: which the hi-hat foot falls.
GOING = {
    "hi-hat foot on 2 and 4": ({"2/4", "4/4", "6/8", "12/8"}, {"hi-hat foot"}, {4}),
    "samba": ({"2/4", "4/4"}, {"bass drum", "hi-hat foot"}, {2, 6}),
    "baião": ({"2/4", "4/4"}, {"bass drum", "hi-hat foot"}, {2, 6}),
}
#: Lines that are typed, and the 16ths that they count.
TYPED = {"1": {0}, "1 a": {0, 3}, "(1) &": {2}, "1 & a": {0, 2, 3}}


def feet_keep_going(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    """Where bar and kit let the feet play at all: but for the hi-hat that their foot closes."""
    meter = str(case.bar.meter.one_bar)
    if rule["pattern"] == "four on the floor":
        meters, needed, closed = {meter}, {"bass drum"}, set()
    elif rule["pattern"] == "typed":
        lines = {foot: TYPED[rule[key]] for foot, key in TYPED_FEET.items() if key in rule}
        meters, needed, closed = {rule["meter"]}, set(lines), lines.get("hi-hat foot", set())
    else:
        meters, needed, closed = GOING[rule["pattern"]]
    if meter not in meters or not needed <= set(map(str, case.kit.surfaces)):
        return False
    sixteenths = 4 * case.bar.meter.count
    for note, stroke in zip(case.bar.sounded, fill, strict=True):
        struck = [note.onset] + [note.onset + note.length / 2] * (stroke.ornament == "diddle")
        is_open = bool(stroke.by_hand & {"open hi-hat", "half-open hi-hat"})
        if is_open and any(4 * at % sixteenths in closed for at in struck):
            return False
    return True


TYPED_FEET = {"bass drum": "bass_drum", "hi-hat foot": "hi_hat_foot"}


@once_for_a_bar
def letters_of_linear(rule: dict, case: Case) -> list[str | None]:
    taken, letters = 0, []
    for inside in members(rule, case):
        letters.append(rule["pattern"][taken % len(rule["pattern"])] if inside else None)
        taken += inside
    return letters


def linear(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    """Of the limbs each strikes alone."""
    limbs = {"F": ("bass drum", "RF"), "H": ("hi-hat foot", "LF")}
    for stroke, wanted in zip(fill, letters_of_linear(rule, case), strict=True):
        blows = [*stroke.hands, *stroke.feet]
        if wanted is None:
            continue
        if len(blows) > 1:
            return False
        if wanted in SWAP and blows[0].limb != wanted:
            return False
        if wanted in limbs and blows[0][:2] != limbs[wanted]:
            return False
    return True


def hand_stays(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    allowed = surfaces_of(rule["surfaces"], case.kit)
    return all(
        blow.surface in allowed
        for stroke, inside in zip(fill, members(rule, case), strict=True)
        for blow in stroke.hands
        if inside and (blow.limb == rule["hand"] or takes_both(stroke))
    )


def takes_both(stroke: Struck) -> bool:
    """Whether the other hand strikes too: grace notes, and stick on stick."""
    return stroke.ornament in ("flam", "drag") or stroke.by_hand == {STICKS}
