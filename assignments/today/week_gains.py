"""What a student gained in a week of practice, in one sentence; no database.

A week begins on Monday. Only what happened is said: nothing of days without practice, of fills
that came back or of tempos that fell.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from datetime import date, timedelta
from decimal import Decimal
from typing import NamedTuple

from assignments import text
from assignments.mastery import came_out_clean


class PlayedEntry(NamedTuple):
    """One entry of the log; `fill` is None where it is about no fill in particular."""

    fill: int | None
    day: date
    minutes: Decimal
    tempo: int | None = None
    loops: int | None = None
    clean_loops: int | None = None

    @property
    def was_unclean(self) -> bool:
        """Whether it was counted, and did not come out clean."""
        if self.loops is None or self.clean_loops is None:
            return False
        return not came_out_clean(self.loops, self.clean_loops)


class FillStanding(NamedTuple):
    """A fill by its name; since when it is mastered and holds, None where it is not."""

    name: str
    mastered_on: date | None = None
    held_on: date | None = None


class TempoGain(NamedTuple):
    """How far the tempo of a fill went up, from the fastest before to the fastest now."""

    name: str
    before: int
    now: int


def week_of(day: date) -> date:
    """Return the Monday of the day's week."""
    return day - timedelta(days=day.weekday())


def week_gains(
    played: Iterable[PlayedEntry], standings: Mapping[int, FillStanding], day: date
) -> str:
    """Return what was gained in the week up to the day, "" where nothing was played in it.

    `This week: 2 fills hold, Hi-hat to floor tom went from 76 to 88, 4 days.` Where nothing was
    gained it says what was played: `This week: 3 fills, 12 min, 2 days.` `played` is all that
    was played, whenever; `standings` are those of the fills that the student has.
    """
    known = [one for one in played if one.day <= day]
    this_week = [one for one in known if one.day >= week_of(day)]
    if not this_week:
        return ""
    said = [*_mastery(standings.values(), day), *_best_climb(known, standings, day)]
    days = text.count(len({one.day for one in this_week}), "day")
    return f"This week: {', '.join([*(said or _played(this_week)), days])}."


def climbs(
    played: Collection[PlayedEntry], standings: Mapping[int, FillStanding], day: date
) -> list[TempoGain]:
    """Return the fills whose tempo went up in the week, the farthest first.

    From the fastest of all days before; of a fill that was begun in the week, from its first
    day. A tempo that did not come out clean is none that was reached.
    """
    of_each: defaultdict[int, list[PlayedEntry]] = defaultdict(list)
    for one in played:
        if one.fill is not None and one.fill in standings and one.tempo is not None:
            of_each[one.fill].append(one)
    found = (_climb(standings[pk].name, some, day) for pk, some in of_each.items())
    return sorted(
        (climb for climb in found if climb), key=lambda one: (-one.now / one.before, one.name)
    )


def _climb(name: str, played: Collection[PlayedEntry], day: date) -> TempoGain | None:
    monday = week_of(day)
    begun = min(one.day for one in played)
    since = max(monday, begun + timedelta(days=1))
    before = max((one.tempo or 0 for one in played if one.day < since), default=0)
    now = max(
        (one.tempo or 0 for one in played if one.day >= since and not one.was_unclean), default=0
    )
    return TempoGain(name, before, now) if 0 < before < now else None


def _mastery(standings: Collection[FillStanding], day: date) -> list[str]:
    monday = week_of(day)
    held = [one.name for one in standings if one.held_on and monday <= one.held_on <= day]
    mastered = [
        one.name
        for one in standings
        if one.held_on is None and one.mastered_on and monday <= one.mastered_on <= day
    ]
    said = []
    if held:
        said.append(f"{held[0]} holds" if len(held) == 1 else f"{len(held)} fills hold")
    if mastered:
        what = mastered[0] if len(mastered) == 1 else f"{len(mastered)} fills"
        said.append(f"{what} mastered")
    return said


def _best_climb(
    played: Collection[PlayedEntry], standings: Mapping[int, FillStanding], day: date
) -> list[str]:
    best = climbs(played, standings, day)[:1]
    return [f"{climb.name} went from {climb.before} to {climb.now}" for climb in best]


def _played(this_week: Collection[PlayedEntry]) -> list[str]:
    fills = len({one.fill for one in this_week} - {None})
    minutes = text.minutes(sum((one.minutes for one in this_week), Decimal(0)))
    return [*([text.count(fills, "fill")] if fills else []), minutes]
