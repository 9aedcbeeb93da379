"""The way out of a comfort zone: what to assign, and whether it worked."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import islice
from statistics import fmean, median
from typing import Any, NamedTuple
from urllib.parse import urlencode

from django.utils import timezone

from assignments.comfort.comfort_zones import DAYS, Comfort, is_narrow, zone_in
from assignments.comfort.library_way_out import (
    FILLS,
    OwnRhythm,
    in_both,
    of_the_library,
    own_rhythm,
)
from assignments.comfort.playing_record import DrawnFrom, Material, material_of, playing_of
from assignments.models import AssignedVariation, Assignment, KeptZone, PracticeEntry, Take
from assignments.models.assignment import FASTEST, SLOWEST
from rhythms.engine import Bar, Fill, FillSpace
from rhythms.engine.comfort.clusters import clusters, share_like
from rhythms.engine.comfort.playing import Playing
from rhythms.engine.comfort.variety_estimate import Estimate, change, variety
from rhythms.engine.comfort.zone_json import estimate_from_json, estimate_to_json
from rhythms.engine.fills.likeness import Others
from rhythms.engine.fills.playability import top_tempo
from rhythms.models import RuleSet, SourceBar
from studio.models import Student

#: Whether it worked shows after a week; four weeks before are compared with four after.
SHOWS_AFTER, COMPARED = 7, 28
#: So many fills of a space tell how far it leads away, and so many would be assigned.
_SAMPLE = 24
#: What leads somewhere else by another rhythm counts as so much of what keeps it.
_OTHER = 0.25
#: A tempo for whoever has none yet.
_TEMPO = 80
_DAY = timedelta(days=1)


class WayOut(NamedTuple):
    """What to draw from and a tempo, for fills that lead away from what they fall back on."""

    given: DrawnFrom
    tempo: int

    def query(self, student: Student) -> str:
        """The address of the assign page, from its question mark on, with all of it chosen."""
        chosen = {
            "bar": self.given.source_bar,
            "beats": self.given.beats or "",
            "rule_set": self.given.rule_set,
            "students": student.pk,
            "how_many": FILLS,
            "tempo": self.tempo,
            "away": 1,
        }
        return f"?{urlencode(chosen)}"


def kept_way_out(student: Student, today: date) -> WayOut | None:
    """Return the way out that was found for the student, at the tempo that is theirs today.

    None where the library lost it since.
    """
    details = KeptZone.objects.filter(student=student).values_list("details", flat=True).first()
    stored = (details or {}).get("way_out")
    if stored is None:
        return None
    given = DrawnFrom(*stored[:3])  # older code kept a tempo behind it
    bars = SourceBar.objects.kept().filter(pk=given.source_bar)
    rule_sets = RuleSet.objects.kept().filter(pk=given.rule_set)
    is_there = bars.exists() and rule_sets.exists()
    return WayOut(given, tempo_of(student, today)) if is_there else None


def way_out_for(student: Student, today: date) -> WayOut | OwnRhythm | None:
    """Return the way out of what the student was given, else one of the studio's library.

    Where no bar of that leads out either, a rhythm that they play and the library lacks. None
    without a zone, or where nothing new can be played at their tempo.
    """
    if found := kept_way_out(student, today):
        return found
    kept = KeptZone.objects.filter(student=student).first()
    zone = zone_in(kept) if kept else None
    if zone is None:
        return None
    tempo, known = tempo_of(student, today), [*zone.favourites, *_had_by(student)]
    of_library = of_the_library(student, zone, known, tempo)
    return WayOut(of_library, tempo) if of_library else own_rhythm(student, zone)


def way_out_of(
    material: Material,
    spaces: Mapping[DrawnFrom, FillSpace],
    favourites: Collection[Fill],
    today: date,
) -> DrawnFrom | None:
    """Return what leads furthest out, of the bars and rule sets the student was given.

    `favourites` are what they fall back on. A bar they know keeps the step small, and a rhythm that
    is near to those: only where the strokes go is new. None where nothing was given that the
    library still has, or nothing of it is new and playable at the student's tempo.
    """
    tempo = tempo_of(material.student, today)
    known = Others([*favourites, *_had_by(material.student)])
    best, furthest = None, 0.0
    for given, space in _still_there(material, spaces):
        far = _how_far(space, known, tempo) * (_OTHER + _nearness(space.setting.bar, favourites))
        if far > furthest:
            best, furthest = given, far
    return best


def _nearness(bar: Bar, favourites: Collection[Fill]) -> float:
    """How near the rhythm of a bar is to those of what they fall back on."""
    return fmean(in_both(bar, one.bar) for one in favourites) if favourites else 1.0


def _had_by(student: Student) -> list[Fill]:
    """What they were given, each fill once."""
    kept = AssignedVariation.objects.kept().filter(assignment__student=student)
    had = [Fill.from_json(stored) for stored in kept.values_list("fill", flat=True)]
    return list(dict.fromkeys(had))


def _still_there(
    material: Material, spaces: Mapping[DrawnFrom, FillSpace]
) -> Iterable[tuple[DrawnFrom, FillSpace]]:
    for given, space in spaces.items():
        if not is_gone(material.given[given]):
            yield given, space


def is_gone(given: Assignment) -> bool:
    """Whether the library no longer has the bar or the rule set that fills were drawn from."""
    return bool(given.source_bar.removed_at or given.rule_set.removed_at)


def _how_far(space: FillSpace, known: Others, tempo: int) -> float:
    """The mean novelty of the newest of a few fills, those that can be played at the tempo."""
    sample = space.sample(min(_SAMPLE, space.size), seed=0)
    novelties: list[float] = (1 - known.table(sample).max(axis=1, initial=0)).tolist()
    newest = sorted(zip(novelties, sample, strict=True), key=lambda one: -one[0])
    # Whether a fill can be played is dear to ask: only of as many as are wanted.
    playable = (new for new, fill in newest if top_tempo(fill, space.kit) >= tempo)
    return sum(islice(playable, FILLS)) / FILLS


def tempo_of(student: Student, today: date) -> int:
    """Return the student's tempo: the middle of what they played, logged or were last given."""
    since = today - (DAYS - 1) * _DAY
    played = Take.objects.of(student).filter(day__gte=since, tempo__isnull=False)
    logged = PracticeEntry.objects.kept().filter(
        student=student, day__gte=since, tempo__isnull=False
    )
    for tempi in (played, logged):
        if found := [tempo for tempo in tempi.values_list("tempo", flat=True) if tempo]:
            return max(SLOWEST, min(FASTEST, int(median(found))))
    latest = Assignment.objects.kept().filter(student=student).order_by("-created_at", "-pk")
    return latest.values_list("tempo", flat=True).first() or _TEMPO


class Side(NamedTuple):
    """The playing before or after; `share` is the part of it that the old favourites have."""

    takes: int
    variety: Estimate | None
    share: float | None
    typical: Fill | None


@dataclass(frozen=True)
class Worked:
    """A way out that was given, and what became of it; `grown` is the factor of variety."""

    assignment: Assignment
    given_on: date
    today: date
    before: Side
    after: Side
    grown: Estimate | None

    @property
    def shows_on(self) -> date:
        """The day from which it may be judged."""
        return self.given_on + SHOWS_AFTER * _DAY

    @property
    def shows(self) -> bool:
        """Whether that day has come."""
        return self.today >= self.shows_on

    @property
    def verdict(self) -> str:
        """Whether it worked: `yes`, `no`, `open` (chance may do as much), `too few`, `early`."""
        if not self.shows:
            return "early"
        if self.grown is None:
            return "too few"
        if self.grown.low > 1:
            return "yes"
        return "no" if self.grown.high < 1 else "open"


def latest_way_out(students: Collection[Student]) -> dict[int, Assignment]:
    """Return the latest way out that each student was given, by student pk; one query."""
    given = Assignment.objects.kept().filter(student__in=list(students)).exclude(away_from=[])
    in_order = given.select_related("studio").order_by("created_at", "pk")
    return {one.student_id: one for one in in_order}


def given_on(assignment: Assignment) -> date:
    """Return the studio's day on which it was given."""
    return assignment.created_at.astimezone(assignment.studio.zone).date()


def ways_out_under_way(students: Collection[Student], today: date) -> dict[int, Assignment]:
    """Return the ways out that have not had their time, by student pk; one query."""
    lately = Assignment.objects.kept().filter(
        student__in=students, created_at__gte=timezone.now() - (2 * SHOWS_AFTER + 1) * _DAY
    )
    given = (
        lately.exclude(away_from=[])
        .select_related("studio")
        .only("student", "created_at", "studio")
    )
    return {
        one.student_id: one
        for one in given.order_by("created_at", "pk")
        if is_under_way(one, today)
    }


def whether_it_worked(kept: KeptZone, today: date) -> Worked | None:
    """Return what became of the student's latest way out; None where there was none."""
    stored = kept.details.get("worked")
    if stored is None:
        return None
    assignment = Assignment.objects.kept().select_related("studio").filter(pk=stored["of"]).first()
    if assignment is None:
        return None
    return Worked(
        assignment,
        given_on(assignment),
        today,
        _side_in(stored["before"]),
        _side_in(stored["after"]),
        estimate_from_json(stored["grown"]),
    )


def judged(student: Student, given: Assignment | None, today: date) -> dict[str, Any] | None:
    """Return, as JSON, what became of a way out: all that `whether_it_worked` goes by."""
    if given is None:
        return None
    day = given_on(given)
    away_from = [Fill.from_json(one) for one in given.away_from]
    last = min(today, day + COMPARED * _DAY)
    playing = playing_of(material_of(student, day - (COMPARED - 1) * _DAY, last), {})
    before, after = playing.between(date.min, day), playing.between(day + _DAY, last)
    return {
        "of": given.pk,
        "before": _side(before, away_from),
        "after": _side(after, away_from),
        "grown": estimate_to_json(change(before, after)),
    }


def _side(playing: Playing, away_from: Sequence[Fill]) -> dict[str, Any]:
    measured, takes = variety(playing), len(playing.takes)
    if measured is None:
        return {"takes": takes, "variety": None, "share": None, "typical": None}
    return {
        "takes": takes,
        "variety": estimate_to_json(measured),
        "share": share_like(playing, away_from),
        "typical": clusters(playing)[0].typical.to_json(),
    }


def _side_in(stored: dict[str, Any]) -> Side:
    typical = stored["typical"]
    return Side(
        stored["takes"],
        estimate_from_json(stored["variety"]),
        stored["share"],
        None if typical is None else Fill.from_json(typical),
    )


def flag_of(comfort: Comfort, way_out: Assignment | None, today: date) -> str:
    """Return why a student needs a way out, in a sentence; "" where they do not.

    Nor do they as long as a `way_out` is under way.
    """
    zone = comfort.zone
    if zone is None or way_out is not None or not is_narrow(zone, today):
        return ""
    return zone.fallen_back_on[0]


def is_under_way(way_out: Assignment, today: date) -> bool:
    """Whether a way out was given so lately that it has not had its time."""
    return (today - given_on(way_out)).days < 2 * SHOWS_AFTER
