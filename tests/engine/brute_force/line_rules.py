"""What rules say of the strokes in order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise, product

from rhythms.engine.kits.kit_layout import PLACES
from tests.engine.brute_force.played_case import (
    FAMILIES,
    FEET,
    STICKS,
    Case,
    Struck,
    drum,
    once_for_a_bar,
)


def at_most_in_a_row(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    window = rule["n"] + 1
    runs = (fill[start : start + window] for start in range(len(fill) - rule["n"]))
    return not any(set.intersection(*(stroke.drums for stroke in run)) for run in runs)


def groups(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    """Some surface begins each group, and is nowhere else."""
    by_hand = [stroke.hand_drums for stroke in fill if stroke.hands]
    lengths = [int(n) for n in rule["pattern"].split("-")] if "pattern" in rule else [rule["n"]]
    begins = [place == 0 for length in lengths for place in range(length)]
    return not by_hand or any(
        all((mark in one) == begins[n % len(begins)] for n, one in enumerate(by_hand))
        for mark in by_hand[0]
    )


def round_the_kit(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    """Of two drums at once the line comes to the nearer one first."""
    order = ["snare", "high tom", "mid tom", "floor tom"][:: 1 if rule["way"] == "down" else -1]
    line = [order.index(one) for stroke in fill for one in order if one in stroke.drums]
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
    said = [(fill[first].drums, fill[second].drums) for first, second in pairs]
    if beats % 2 or len(said) < 2:
        return False
    if rule.get("keeps") != "moves":
        begins, ends = said[:-1][:3], said[-1]
        return all(first == second for first, second in begins) and ends[0] != ends[1]
    one, other = zip(*said[:4], strict=True)
    stays = [[a == b for a, b in pairwise(line)] for line in (one, other)]
    return stays[0] == stays[1] and one[0] != other[0]


def places_of_hands(fill: tuple[Struck, ...]) -> Iterator[dict[str, str]]:
    """After each stroke of the hands, where each of them struck last."""
    places: dict[str, str] = {}
    for stroke in fill:
        places = places | {blow.limb: drum(blow.surface) for blow in stroke.hands}
        if stroke.hands:
            yield places


def hands_apart(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    return all(
        places.get("R") != places.get("L") or places["R"] == "snare"
        for places in places_of_hands(fill)
    )


def no_hand_crosses(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    x = {str(surface): place.x for surface, place in PLACES.items()}
    for places in places_of_hands(fill):
        if len(places) == 2:
            apart = x[places["R"]] - x[places["L"]]
            if (apart if not case.kit.left_handed else -apart) < -10:
                return False
    return True


def break_the_path(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    """No line through what is struck, one surface a stroke, is a path."""
    toms = [tom for tom in FAMILIES["toms"] if tom in case.kit.surfaces]
    return not any(
        is_path(line, toms, rule) for line in product(*(stroke.drums for stroke in fill))
    )


def is_path(line: Sequence[str], toms: list[str], rule: dict) -> bool:
    if rule.get("repeats") == "goes on":
        line = [a for a, b in zip(line, [None, *line], strict=False) if a != b or a not in toms]
    for start in range(len(line) - rule["k"] + 1):
        walk = line[start : start + rule["k"]]
        if all(tom in toms for tom in walk):
            steps = {toms.index(b) - toms.index(a) for a, b in pairwise(walk)}
            if steps in ({1}, {-1}):
                return True
    return False


def visited(fill: tuple[Struck, ...]) -> int:
    return len({drum for stroke in fill for drum in stroke.drums})


def family(surface: str) -> str:
    if surface in FEET:
        return "feet"
    if surface == STICKS:
        return "sticks"
    return next((name for name, members in FAMILIES.items() if surface in members), "snare")


def alternate_families(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    families = [{family(drum) for drum in stroke.drums} for stroke in fill]
    return not any(a & b for a, b in pairwise(families))


def doubles_together(rule: dict, case: Case, fill: tuple[Struck, ...]) -> bool:
    return all(
        a.limb != b.limb or drum(a.surface) == drum(b.surface)
        for before, after in pairwise(fill)
        for a, b in product(before.hands, after.hands)
    )
