"""A way out for somebody who was given nothing that leads out: bars of the studio's library.

What they do well stays: a bar near to the rhythms they play, and rules that say where strokes go
and nothing else.
"""

from collections.abc import Iterable, Iterator, Sequence
from typing import Any, NamedTuple

from assignments.comfort.playing_record import DrawnFrom
from rhythms.engine import Bar, EngineError, Fill, FillSpace
from rhythms.engine.comfort import Zone
from rhythms.engine.comfort.clusters import Cluster
from rhythms.engine.comfort.way_out_wish import WayOutWish
from rhythms.engine.picking import pick
from rhythms.fill_spaces import engine_kit, space_for
from rhythms.models import RuleSet, SourceBar
from studio.models import Student

#: So many fills would be assigned.
FILLS = 3
#: Of so many bars, those nearest to what is played, and so many rule sets of each are tried; so
#: many rule sets are looked at.
_BARS, _TRIED, _RULE_SETS = 4, 2, 12


def of_the_library(
    student: Student, zone: Zone, known: Sequence[Fill], tempo: int
) -> DrawnFrom | None:
    """Return the bar nearest to what they play of which most fills lead out, up to `FILLS`.

    `known` are fills that are not new to them. None where nothing new can be played at `tempo`.
    """
    best, most = None, 0
    for given, space in _spaces(student, zone):
        found = _found(space, zone, known, tempo)
        if found > most:
            best, most = given, found
        if found >= FILLS:
            break
    return best


def _found(space: FillSpace, zone: Zone, known: Sequence[Fill], tempo: int) -> int:
    """How many fills of a space there are to be assigned."""
    rarer = WayOutWish.of_zone(zone).rarer_steps(space.setting.bar)
    return len(pick(space, FILLS, known, tempo, rarer=rarer))


def _spaces(student: Student, zone: Zone) -> Iterator[tuple[DrawnFrom, FillSpace]]:
    of_studio: dict[str, Any] = {"studio": student.studio_id}
    bars = SourceBar.objects.kept().filter(**of_studio)
    rule_sets = list(RuleSet.objects.kept().filter(**of_studio).order_by("pk")[:_RULE_SETS])
    kit = engine_kit(student)
    for bar in sorted(bars, key=lambda one: -_nearness(one.bar, zone.clusters))[:_BARS]:
        found = {}
        for rule_set in rule_sets:
            space = space_for(bar, rule_set, kit)
            if _size(space) > 1:
                found[rule_set.pk] = space
        fitting = sorted(found, key=lambda pk: (not _is_plain(found[pk]), -found[pk].size))
        yield from ((DrawnFrom(bar.pk, pk), found[pk]) for pk in fitting[:_TRIED])


def _size(space: FillSpace) -> int:
    """None there are where they are too many to count."""
    try:
        return space.size
    except EngineError:
        return 0


def _is_plain(space: FillSpace) -> bool:
    """Whether its rules are about where strokes go: nothing else is new."""
    strokes = {stroke for layer in space.graph.layers for stroke in layer.strokes}
    as_ever = all(
        not (one.beside or one.ornament or one.by_foot) and one.dynamic == "normal"
        for one in strokes
    )
    return as_ever and not space.rule_set.speaks_of_hands


def _nearness(bar: Bar, clusters: Iterable[Cluster]) -> float:
    """How near a bar's rhythm is to those that are played, weighted by the time each is."""
    return sum(one.share * in_both(bar, one.typical.bar) for one in clusters)


def in_both(bar: Bar, other: Bar) -> float:
    """How much of the rhythm of two bars is the same: the share of the counts of either that are in
    both (Jaccard's index)."""
    if bar.meter != other.meter:
        return 0.0
    here, there = ({note.onset for note in one.sounded} for one in (bar, other))
    return len(here & there) / len(here | there)


class OwnRhythm(NamedTuple):
    """A rhythm that a student plays, as the library would have it."""

    meter: str
    counts: str


def own_rhythm(student: Student, zone: Zone) -> OwnRhythm | None:
    """Return the rhythm they play most that can be counted, unless the library has it."""
    kept = SourceBar.objects.kept().filter(studio=student.studio_id)
    for cluster in zone.clusters:
        bar = cluster.typical.bar
        try:
            own = OwnRhythm(str(bar.meter), bar.counts())
        except EngineError:
            continue
        if bar.meter.bars == 1 and not kept.filter(**own._asdict()).exists():
            return own
    return None
