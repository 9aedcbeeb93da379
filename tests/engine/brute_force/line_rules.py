"""What rules say of the strokes in order."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from rhythms.engine.kits.kit_layout import PLACES
from tests.engine.brute_force.played_case import (
    FAMILIES,
    FEET,
    STICKS,
    SWAP,
    Case,
    Struck,
    once_for_a_bar,
)


def at_most_in_a_row(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    window = rule["n"] + 1
    runs = (fill[start : start + window] for start in range(len(fill) - rule["n"]))
    return all(len({stroke.drum for stroke in run}) > 1 for run in runs)


def groups(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    by_hand = [stroke.drum for stroke in fill if stroke.surface not in FEET]
    lengths = [int(n) for n in rule["pattern"].split("-")] if "pattern" in rule else [rule["n"]]
    begins = [place == 0 for length in lengths for place in range(length)]
    return all(
        (surface == by_hand[0]) == begins[place % len(begins)]
        for place, surface in enumerate(by_hand)
    )


def round_the_kit(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    order = ["snare", "high tom", "mid tom", "floor tom"][:: 1 if rule["way"] == "down" else -1]
    line = [order.index(stroke.drum) for stroke in fill if stroke.drum in order]
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
    said = [(fill[first].drum, fill[second].drum) for first, second in pairs]
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
        stroke.drum == "snare" or stroke.drum != other.drum
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
    return len({stroke.drum for stroke in fill})


def family(surface: str) -> str:
    if surface in FEET:
        return "feet"
    if surface == STICKS:
        return "sticks"
    return next((name for name, members in FAMILIES.items() if surface in members), "snare")


def alternate_families(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    return all(family(a.drum) != family(b.drum) for a, b in pairwise(fill))


def doubles_together(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    return all(a.limb != b.limb or a.drum == b.drum or a.surface in FEET for a, b in pairwise(fill))
