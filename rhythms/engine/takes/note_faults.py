"""What went wrong at which note of a fill, over all the times it was played.

`Attempt.to_json` has what became of each note. Lateness is held against the middle of the same time
through, so neither a device's delay nor a habit counts; times are in ms, late above 0.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from math import comb
from statistics import median, pstdev
from typing import Any, NamedTuple

from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.fills.fill import Fill
from rhythms.engine.kits.surfaces import base
from rhythms.engine.takes.attempt_result import MISSED, WRONG
from rhythms.engine.takes.swung_places import onsets_struck
from rhythms.engine.takes.timing import FOR_A_BAND, HEARD

LEFT_OUT, LATE, EARLY, OTHER_DRUM, TOO_MUCH = "left out", "late", "early", "other drum", "too much"
ACCENT_LOST, GHOST_LOUD = "accent lost", "ghost loud"
#: A fault is no chance where as many at one note of a fill come of chance less often than this.
BY_CHANCE = 0.02
#: Twice is the least that shows anything.
TWICE = 2
#: A stroke this near to a note of its drum, in quarters, may be that note, astray; one this little
#: before a note comes after it all the same.
_NEAR, _SLIP = 0.5, 0.06
_ENOUGH = 5


class Fault(NamedTuple):
    """One ``kind`` of fault at one note, in ``times`` of all times through.

    ``of`` is the drum it was meant for where that says more than the note, ``played`` what was
    struck.
    """

    kind: str
    note: int
    times: frozenset[int]
    of: str = ""
    played: str = ""


@dataclass(frozen=True)
class TimesThrough:
    """A fill and what became of it each time: ``attempts`` as `Attempt.to_json` has them.

    ``struck`` has each as a fill, with its touch, None where it was not all there; ``touch``
    whether the device tells hard from soft. ``jitter`` is the device's unsteadiness in ms.
    """

    fill: Fill
    attempts: Sequence[Mapping[str, Any]]
    jitter: float = 0.0
    feel: Feel = STRAIGHT
    struck: Sequence[Fill | None] = ()
    touch: bool = False

    @cached_property
    def apart(self) -> float:
        """From how many ms on a note is late or early: what is heard, and what the device tells."""
        return max(HEARD, 2 * self.jitter)

    @cached_property
    def onsets(self) -> tuple[float, ...]:
        """Where each note is played, in quarters."""
        return onsets_struck(self.fill, self.feel)

    @cached_property
    def lateness(self) -> tuple[dict[int, float], ...]:
        """Of each time, how late each note came that came, against the middle of that time."""
        found = []
        for offs in map(_offs, self.attempts):
            middle = median(offs.values()) if offs else 0.0
            found.append({note: off - middle for note, off in offs.items()})
        return tuple(found)

    def is_apart(self, note: int) -> bool:
        """Whether a note is late or early in the middle of all times."""
        offs = [one[note] for one in self.lateness if note in one]
        return abs(median(offs)) > self.apart

    @property
    def spread(self) -> float | None:
        """The standard deviation of all lateness; None where too few strokes say."""
        offs = [off for one in self.lateness for off in one.values()]
        return pstdev(offs) if len(offs) >= FOR_A_BAND else None

    @cached_property
    def gains(self) -> tuple[float, ...]:
        """Of each time, how many ms it fell behind (ahead below 0) from first note to last.

        By the slope that Theil and Sen have, which one late note does not turn.
        """
        whole = self.onsets[-1] - self.onsets[0] if self.onsets else 0.0
        return tuple(
            median(
                (one[b] - one[a]) / (self.onsets[b] - self.onsets[a])
                for a, b in combinations(sorted(one), 2)
                if self.onsets[b] > self.onsets[a]
            )
            * whole
            for one in self.lateness
            if len(one) >= _ENOUGH and whole
        )

    @property
    def whole(self) -> int:
        """How often all of it came, and nothing else."""
        return sum(all_came(one) for one in self.attempts)

    @property
    def right_share(self) -> float:
        """The share of notes that came, over all times; out of time counts as come."""
        notes = [note for one in self.attempts for note in one["notes"]]
        came = sum(_came(note) for note in notes)
        return came / len(notes) if notes else 0.0


def all_came(attempt: Mapping[str, Any]) -> bool:
    """Whether every note came right, and nothing was too much."""
    notes = all(note["outcome"] not in (MISSED, WRONG) for note in attempt["notes"])
    feet = all(foot["outcome"] != MISSED for foot in attempt.get("feet", ()))
    return notes and feet and not attempt["extras"]


def faults(times: TimesThrough) -> list[Fault]:
    """Every fault that was made twice or more at one note; late or early ones where the note is so
    in the middle of all times, not now and then."""
    seen: dict[tuple[str, int, str, str], set[int]] = {}
    for number, one in enumerate(times.attempts):
        for key in _of_one(times, number, one):
            seen.setdefault(key, set()).add(number)
    return [
        Fault(kind, note, frozenset(on), of, played)
        for (kind, note, of, played), on in seen.items()
        if len(on) >= TWICE and (kind not in (LATE, EARLY) or times.is_apart(note))
    ]


def standing_out(times: TimesThrough, found: Sequence[Fault]) -> list[Fault]:
    """Those that are no chance: more at their note than the same kind has elsewhere.

    The chance of as many is that of a binomial count at the rate of all notes but it and those
    beside it, which often go with it, times the number of notes (Bonferroni). Half a fault is added
    to what was seen there: none seen does not mean none possible.
    """
    tried, notes = len(times.attempts), len(times.fill.strokes)
    every: Counter[tuple[str, int]] = Counter()
    for number, one in enumerate(times.attempts):
        every.update({(kind, note) for kind, note, _, _ in _of_one(times, number, one)})
    told = []
    for fault in found:
        others = sum(
            count
            for (kind, note), count in every.items()
            if kind == fault.kind and abs(note - fault.note) > 1
        )
        elsewhere = (others + 0.5) / (tried * max(1, notes - 3) + 1)
        if notes * at_least(len(fault.times), tried, min(1.0, elsewhere)) < BY_CHANCE:
            told.append(fault)
    return told


def at_least(count: int, of: int, rate: float) -> float:
    """The chance of ``count`` or more of so many at this rate."""
    return sum(comb(of, n) * rate**n * (1 - rate) ** (of - n) for n in range(count, of + 1))


def _offs(one: Mapping[str, Any]) -> dict[int, float]:
    """Each note's ms from the grid, astray ones too."""
    of_notes = {
        number: note["off"] if note["off"] is not None else note["astray"]
        for number, note in enumerate(one["notes"])
    }
    return {number: off for number, off in of_notes.items() if off is not None}


def _came(note: Mapping[str, Any]) -> bool:
    return note["outcome"] not in (MISSED, WRONG) or (
        note["outcome"] == MISSED and note["astray"] is not None
    )


Key = tuple[str, int, str, str]


def _of_one(times: TimesThrough, number: int, one: Mapping[str, Any]) -> set[Key]:
    """The faults of one time through."""
    found: set[Key] = set()
    late = times.lateness[number]
    for index, note in enumerate(one["notes"]):
        found |= _of_drums(times.fill, index, note)
        if abs(late.get(index, 0.0)) > times.apart:
            found.add((LATE if late[index] > 0 else EARLY, index, "", ""))
    for extra in _unexplained(times, one):
        before = [n for n, on in enumerate(times.onsets) if on <= extra["quarters"] + _SLIP]
        found.add((TOO_MUCH, before[-1] if before else 0, "", extra["surface"]))
    struck = times.struck[number] if number < len(times.struck) else None
    if times.touch and struck is not None:
        found |= _of_touch(times.fill, struck)
    return found


def _unexplained(times: TimesThrough, one: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """The strokes too much, without those that are a note of their drum that went astray."""
    astray = [
        (times.onsets[number], times.fill.strokes[number].surfaces)
        for number, note in enumerate(one["notes"])
        if note["outcome"] == MISSED and note["astray"] is not None
    ]
    return [
        extra
        for extra in one["extras"]
        if not any(
            abs(onset - extra["quarters"]) <= _NEAR and extra["surface"] in surfaces
            for onset, surfaces in astray
        )
    ]


def _of_drums(fill: Fill, index: int, note: Mapping[str, Any]) -> set[Key]:
    hits = note.get("hits") or [{**note, "surface": str(fill.strokes[index].surface)}]
    missed = [hit for hit in hits if hit["outcome"] == MISSED and hit["astray"] is None]
    found: set[Key] = set()
    if len(missed) == len(hits):
        found.add((LEFT_OUT, index, "", ""))
    else:
        found |= {(LEFT_OUT, index, hit["surface"], "") for hit in missed}
    found |= {
        (OTHER_DRUM, index, hit["surface"], hit["played"])
        for hit in hits
        if hit["outcome"] == WRONG
    }
    return found


def _of_touch(fill: Fill, struck: Fill) -> set[Key]:
    """Accents that did not come as accents, ghost notes that came as more."""
    if fill.bar != struck.bar:
        return set()
    found: set[Key] = set()
    pairs = zip(fill.strokes, struck.strokes, strict=True)
    for index, (meant, played) in enumerate(pairs):
        if base(meant.surface) != base(played.surface) or meant.ornament:
            continue
        if meant.dynamic == "accent" != played.dynamic:
            found.add((ACCENT_LOST, index, "", ""))
        elif meant.dynamic == "ghost" != played.dynamic:
            found.add((GHOST_LOUD, index, "", ""))
    return found
