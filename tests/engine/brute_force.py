"""Fill spaces listed the slow way: every choice of strokes, kept where every rule allows it.

Written from the statements of the rules alone, without the engine's automata or graph, for
small bars on a grid of 16ths in quarter-note meters.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import wraps
from itertools import pairwise, product
from typing import NamedTuple, TypeVar

from rhythms.engine import Bar, Kit
from rhythms.engine.kits.kit_layout import PLACES
from rhythms.engine.rules.rudiments import OVERLAYS

FAMILIES = {
    "toms": ["high tom", "mid tom", "floor tom"],
    "cymbals": ["hi-hat", "ride", "crash", "splash", "china"],
    "bells": ["ride bell", "cowbell"],
}
FEET = {"bass drum": "RF", "hi-hat foot": "LF"}
SWAP = {"R": "L", "L": "R"}
#: Rules that are tried together at the most.
MOST_RULES = 10
T = TypeVar("T")


class Struck(NamedTuple):
    surface: str
    limb: str | None
    dynamic: str = "normal"
    ornament: str | None = None


class Case(NamedTuple):
    """A bar as it is played, which of its notes were rests, and the kit."""

    bar: Bar
    rested: list[bool]
    kit: Kit
    by_feet: list[bool] = []

    @property
    def notes(self) -> int:
        return len(self.bar.sounded)


def fills(bar: Bar, rules: list[dict], kit: Kit) -> list[tuple[Struck, ...]]:
    """All fills, ordered by surface, hand, dynamic and ornament of each note in turn."""
    case = played(bar, rules, kit)
    choices = [list(within_reach(case, rules, note)) for note in range(case.notes)]
    return [fill for fill in product(*choices) if all(obeys(rule, case, fill) for rule in rules)]


def obeys(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    return ORACLES[rule["rule"]](rule, case, fill)


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


# --- what is within reach ---------------------------------------------------------------


def played(bar: Bar, rules: list[dict], kit: Kit) -> Case:
    """Rests become notes where a rule gives them to the feet."""
    everything = Bar(bar.meter, tuple(replace(note, rest=False) for note in bar.notes))
    sounding = Case(everything, [False] * len(everything.sounded), kit)
    taken = set()
    for rule in rules:
        if rule["rule"] == "feet" and rule["on"] == "rests":
            taken |= {
                note.onset
                for note, inside in zip(everything.sounded, scoped(rule, sounding), strict=True)
                if inside
            }
    notes = tuple(replace(note, rest=note.rest and note.onset not in taken) for note in bar.notes)
    whole = Bar(bar.meter, notes)
    struck = {note.onset for note in bar.sounded}
    case = Case(whole, [note.onset not in struck for note in whole.sounded], kit)
    taken_by = [foot_takes(rule, case) for rule in rules if rule["rule"] == "feet"]
    return case._replace(by_feet=[any(takes) for takes in zip(*taken_by, strict=True)])


def within_reach(case: Case, rules: list[dict], note: int) -> Iterator[Struck]:
    hands = ["R", "L"] if any(speaks_of_hands(rule) for rule in rules) else [None]
    written = "accent" if case.bar.sounded[note].accent else "normal"
    dynamics, ornaments, feet = [written], [None], set()
    for rule in rules:
        inside = scoped(rule, case)[note] and not case.rested[note]
        if rule["rule"] == "dynamics" and inside:
            dynamics += ["normal"] * ("n" in rule) + [rule["dynamic"]]
        if rule["rule"] == "sticking" and accented(rule, case)[note]:
            dynamics.append("accent")
        if rule["rule"] == "ornament" and inside:
            ornaments.append(rule["ornament"])
        feet |= set(feet_of(rule, case, note, inside))
    for surface in map(str, case.kit.surfaces):
        if surface in FEET and surface not in feet:
            continue
        limbs = [FEET[surface]] if surface in FEET else hands
        touches = [None] if surface in FEET else ornaments
        for limb, dynamic, ornament in product(
            limbs, dict.fromkeys(dynamics), dict.fromkeys(touches)
        ):
            yield Struck(surface, limb, dynamic, ornament)


def feet_of(rule: dict, case: Case, note: int, inside: bool) -> list[str]:
    """The foot surfaces that a rule names for a note."""
    kind = rule["rule"]
    if kind == "placement" and inside and isinstance(rule["surfaces"], list):
        return [name for name in rule["surfaces"] if name in FEET]
    if kind in ("start on", "end on") and isinstance(rule["surfaces"], list):
        at = 0 if kind == "start on" else case.notes - 1
        return [name for name in rule["surfaces"] if name in FEET and note == at]
    if kind == "feet" and foot_takes(rule, case)[note]:
        return list(FEET) if rule["foot"] == "either foot" else [rule["foot"]]
    if kind == "linear" and letters_of_linear(rule, case)[note] in ("F", "H"):
        return [{"F": "bass drum", "H": "hi-hat foot"}[letters_of_linear(rule, case)[note]]]
    return []


def speaks_of_hands(rule: dict) -> bool:
    return rule["rule"] in {
        "sticking",
        "linear",
        "hands apart",
        "no hand crosses",
        "doubles together",
    } or bool(rule.get("lead"))


@once_for_a_bar
def scoped(rule: dict, case: Case) -> list[bool]:
    """The notes a rule's conditions hold for, rests that became notes included."""
    inside = []
    for note in case.bar.sounded:
        slot = note.onset * 4
        assert slot.denominator == 1
        beat, part = divmod(int(slot), 4)
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


# --- filters ----------------------------------------------------------------------------


def surfaces_of(choice: object, kit: Kit) -> set[str]:
    hand = {str(surface) for surface in kit.hand_surfaces}
    if isinstance(choice, dict):
        return hand - surfaces_of(choice["anything but"], kit)
    chosen: set[str] = set()
    for name in choice:
        chosen |= hand if name == "anything" else set(FAMILIES.get(name, [name]))
    return chosen


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


# --- watchers ---------------------------------------------------------------------------


def at_most_in_a_row(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    window = rule["n"] + 1
    runs = (fill[start : start + window] for start in range(len(fill) - rule["n"]))
    return all(len({stroke.surface for stroke in run}) > 1 for run in runs)


def groups(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    by_hand = [stroke.surface for stroke in fill if stroke.surface not in FEET]
    return all(
        (surface == by_hand[0]) == (place % rule["n"] == 0) for place, surface in enumerate(by_hand)
    )


def round_the_kit(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    order = ["snare", "high tom", "mid tom", "floor tom"][:: 1 if rule["way"] == "down" else -1]
    line = [order.index(stroke.surface) for stroke in fill if stroke.surface in order]
    return line == sorted(line) and len(set(line)) >= rule["drums"]


@once_for_a_bar
def halves(rule: dict, case: Case) -> tuple[int, list[tuple[int, int]]]:
    """The beats from the first note on, and the places of the notes that answer each other."""
    at = {note.onset: place for place, note in enumerate(case.bar.sounded)}
    before = [beat for beat in case.bar.meter.beats if at and beat.end <= min(at)]
    start, beats = (before[-1].end if before else 0), len(case.bar.meter.beats) - len(before)
    half = (case.bar.meter.length - start) / 2
    return beats, [
        (at[on], at[on + half]) for on in sorted(at) if on < start + half and on + half in at
    ]


def answer(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    beats, pairs = halves(rule, case)
    said = [(fill[first].surface, fill[second].surface) for first, second in pairs]
    if beats % 2 or len(said) < 2:
        return False
    if rule.get("keeps") != "moves":
        begins, ends = said[:-1][:3], said[-1]
        return all(first == second for first, second in begins) and ends[0] != ends[1]
    one, other = zip(*said[:4], strict=True)
    stays = [[a == b for a, b in pairwise(line)] for line in (one, other)]
    return stays[0] == stays[1] and one[0] != other[0]


def pairs_of_hands(fill: tuple[Struck, ...]) -> Iterator[tuple[Struck, Struck]]:
    """Each hand stroke with the last one of the other hand before it."""
    for place, stroke in enumerate(fill):
        others = [s for s in fill[:place] if s.limb in SWAP and s.limb != stroke.limb]
        if stroke.limb in SWAP and others:
            yield stroke, others[-1]


def hands_apart(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    return all(
        stroke.surface == "snare" or stroke.surface != other.surface
        for stroke, other in pairs_of_hands(fill)
    )


def no_hand_crosses(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    x = {str(surface): place.x for surface, place in PLACES.items()}
    for stroke, other in pairs_of_hands(fill):
        right, left = (stroke, other) if stroke.limb == "R" else (other, stroke)
        apart = x[right.surface] - x[left.surface]
        if (apart if not case.kit.left_handed else -apart) < -10:
            return False
    return True


def break_the_path(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    toms = [tom for tom in FAMILIES["toms"] if tom in case.kit.surfaces]
    line = [stroke.surface for stroke in fill]
    if rule.get("repeats") == "goes on":
        line = [a for a, b in zip(line, [None, *line], strict=False) if a != b or a not in toms]
    for start in range(len(line) - rule["k"] + 1):
        walk = line[start : start + rule["k"]]
        if all(tom in toms for tom in walk):
            steps = {toms.index(b) - toms.index(a) for a, b in pairwise(walk)}
            if steps in ({1}, {-1}):
                return False
    return True


def visited(fill: tuple[Struck, ...]) -> int:
    return len({stroke.surface for stroke in fill})


def family(surface: str) -> str:
    if surface in FEET:
        return "feet"
    return next((name for name, members in FAMILIES.items() if surface in members), "snare")


def alternate_families(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    return all(family(a.surface) != family(b.surface) for a, b in pairwise(fill))


def doubles_together(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    return all(
        a.limb != b.limb or a.surface == b.surface or a.surface in FEET for a, b in pairwise(fill)
    )


ORACLES: dict[str, Callable[[dict, Case, tuple[Struck, ...]], bool]] = {
    "placement": placement,
    "start on": end,
    "end on": end,
    "dynamics": dynamics,
    "ornament": ornament,
    "feet": feet,
    "linear": linear,
    "sticking": sticking,
    "at most in a row": at_most_in_a_row,
    "hands apart": hands_apart,
    "no hand crosses": no_hand_crosses,
    "break the path": break_the_path,
    "groups": groups,
    "round the kit": round_the_kit,
    "answer": answer,
    "visit at least": lambda rule, case, fill: visited(fill) >= rule["surfaces"],
    "use at most": lambda rule, case, fill: visited(fill) <= rule["surfaces"],
    "alternate families": alternate_families,
    "doubles together": doubles_together,
}
