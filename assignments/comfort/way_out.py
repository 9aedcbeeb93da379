"""The way out of a comfort zone: what to assign, and whether it worked."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import median
from typing import NamedTuple
from urllib.parse import urlencode

from assignments.comfort.comfort_zones import DAYS, Comfort, favourites, is_narrow, playing_between
from assignments.comfort.playing_record import DrawnFrom, Material, materials
from assignments.models import AssignedVariation, Assignment, PracticeEntry, Take
from assignments.models.assignment import FASTEST, SLOWEST
from rhythms.engine import Fill, FillSpace
from rhythms.engine.comfort.clusters import clusters, share_like
from rhythms.engine.comfort.playing import Playing
from rhythms.engine.comfort.variety_estimate import Estimate, change, variety
from rhythms.engine.fills.playability import top_tempo
from rhythms.engine.fills.variety import novelty
from studio.models import Student

#: Whether it worked shows after a week; four weeks before are compared with four after.
SHOWS_AFTER, COMPARED = 7, 28
#: So many fills of a space tell how far it leads away, and so many would be assigned.
_SAMPLE, _FILLS = 24, 3
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
            "how_many": _FILLS,
            "tempo": self.tempo,
            "away": 1,
        }
        return f"?{urlencode(chosen)}"


def way_out_of(student: Student, today: date) -> WayOut | None:
    """Return what leads furthest out, of the bars and rule sets the student was given.

    A bar they know keeps the step small: only where the strokes go is new. None where nothing
    was given that the library still has, or nothing of it is new and playable at the
    student's tempo.
    """
    (material,) = materials([student], today - (DAYS - 1) * _DAY, today)
    known, tempo = _known_to(student, today), tempo_of(student, today)
    best, furthest = None, 0.0
    for given, space in _still_there(material):
        far = _how_far(space, known, tempo)
        if far > furthest:
            best, furthest = WayOut(given, tempo), far
    return best


def _known_to(student: Student, today: date) -> list[Fill]:
    """What they fall back on, and what they were given."""
    given = AssignedVariation.objects.kept().filter(assignment__student=student)
    had = [Fill.from_json(stored) for stored in given.values_list("fill", flat=True)]
    return [*favourites([student], today)[student], *had]


def _still_there(material: Material) -> Iterable[tuple[DrawnFrom, FillSpace]]:
    for given, space in material.spaces().items():
        latest = material.given[given]
        if latest.source_bar.removed_at is None and latest.rule_set.removed_at is None:
            yield given, space


def _how_far(space: FillSpace, known: Sequence[Fill], tempo: int) -> float:
    """The mean novelty of the newest of a few fills, those that can be played at the tempo."""
    sample = space.sample(min(_SAMPLE, space.size), seed=0)
    playable = [fill for fill in sample if top_tempo(fill, space.kit) >= tempo]
    newest = sorted((novelty(fill, known) for fill in playable), reverse=True)[:_FILLS]
    return sum(newest) / _FILLS


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


def whether_it_worked(student: Student, today: date) -> Worked | None:
    """Return what became of the student's latest way out; None where there was none."""
    assignment = latest_way_out([student]).get(student.pk)
    if assignment is None:
        return None
    day = given_on(assignment)
    away_from = [Fill.from_json(one) for one in assignment.away_from]
    playing = playing_between(student, day - (COMPARED - 1) * _DAY, today)
    before = playing.between(date.min, day)
    after = playing.between(day + _DAY, day + COMPARED * _DAY)
    return Worked(
        assignment,
        day,
        today,
        _side(before, away_from),
        _side(after, away_from),
        change(before, after),
    )


def _side(playing: Playing, away_from: Collection[Fill]) -> Side:
    measured = variety(playing)
    if measured is None:
        return Side(len(playing.takes), None, None, None)
    share = share_like(playing, list(away_from))
    return Side(len(playing.takes), measured, share, clusters(playing)[0].typical)


def flag_of(comfort: Comfort, way_out: Assignment | None, today: date) -> str:
    """Return why a student needs a way out, in a sentence; "" where they do not, or have one."""
    zone = comfort.zone
    if zone is None or not is_narrow(zone, today) or is_under_way(way_out, today):
        return ""
    return zone.sentences[0]


def is_under_way(way_out: Assignment | None, today: date) -> bool:
    """Whether a way out was given so lately that it has not had its time."""
    if way_out is None:
        return False
    return (today - given_on(way_out)).days < 2 * SHOWS_AFTER
