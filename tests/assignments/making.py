"""Bars, rule sets, assignments and log entries for tests."""

from datetime import date
from decimal import Decimal

from assignments.assigning.assign import AssignmentSpec, assign_fills
from assignments.days import today_in
from assignments.models import AssignedVariation, Assignment, PracticeEntry, Take
from assignments.practice.practice_log import Practised, log
from assignments.takes.take_analysis import analyse_take
from assignments.takes.take_store import TakeInput, create_take
from rhythms.engine import Fill
from rhythms.fill_spaces import space_for
from rhythms.models import RuleSet, SourceBar, StudioGroove
from rhythms.notation.staff_placement import PLACEMENTS
from studio.models import Student, Studio

COUNTS = "1 & 2 e & a 3 & 4 e & a"
EIGHTHS_STAY = [{"rule": "placement", "values": ["eighth"], "surfaces": ["snare"]}]
ALL_ON_SNARE = [{"rule": "placement", "surfaces": ["snare"]}]
ON_THE_COWBELL = [{"rule": "placement", "values": ["16th"], "surfaces": ["cowbell"]}]
#: More than can be counted: every surface remembered, two counts, and where each hand was.
TOO_MUCH = [
    {"rule": "visit at least", "surfaces": 14},
    {"rule": "hands apart"},
    {"rule": "dynamics", "values": ["16th"], "dynamic": "accent", "n": 12},
    {"rule": "dynamics", "position": "off the beat", "dynamic": "ghost", "n": 12},
]
LONG_COUNTS = " ".join(f"{beat} e & a" for beat in range(1, 16))
SPLIT_DOUBLES = [
    {"rule": "sticking", "values": ["16th"], "rudiment": "single paradiddle"},
    {"rule": "at most in a row", "n": 1},
]
PARADIDDLE = [
    *ALL_ON_SNARE,
    {"rule": "sticking", "values": ["16th"], "rudiment": "single paradiddle", "lead": "R"},
]


def make_bar(
    studio: Studio, counts: str = COUNTS, name: str = "Line 4", meter: str = "4/4"
) -> SourceBar:
    return SourceBar.objects.create(studio=studio, name=name, counts=counts, meter=meter)


def make_groove(studio: Studio, name: str = "Walking", **details) -> StudioGroove:
    """A groove of the studio's own: hi-hat, snare, bass drum, and a bar that leads on."""
    lines = {"snare": "2> 4>", "hi-hat": "1 & 2 & 3 & 4 &", "bass drum": "1 (2) & 3"}
    own = {"lines": lines, "setup": {"snare": "2> 4> &>"}} | details
    return StudioGroove.objects.create(studio=studio, name=name, **own)


def make_rule_set(studio: Studio, rules=None, name: str = "Eighths stay") -> RuleSet:
    rules = EIGHTHS_STAY if rules is None else rules
    return RuleSet.objects.create(studio=studio, name=name, rules=rules)


def give(student: Student, n: int = 3, *, seed: int = 1, **details) -> Assignment:
    """Assign `n` fills to the student, by their own teacher."""
    return give_all([student], n, seed=seed, **details)[0]


def give_short(student: Student, **details) -> Assignment:
    """One fill in a block of four short bars: about three seconds, at the least tempo of a plan."""
    bar = make_bar(student.studio, "1 & 2 e & a", name="Short", meter="2/4")
    assignment = give(student, 1, bar=bar, tempo=240, **details)
    AssignedVariation.objects.update(top_tempo=None)
    return assignment


def give_all(students: list[Student], n: int = 3, *, seed: int = 1, **details) -> list[Assignment]:
    """Assign the same `n` fills to students of one studio who have one kit, all at once."""
    studio = students[0].studio
    work = AssignmentSpec(
        details.pop("bar", None)
        or SourceBar.objects.filter(studio=studio, name="Line 4").first()
        or make_bar(studio),
        details.pop("rule_set", None)
        or RuleSet.objects.filter(studio=studio, name="Eighths stay").first()
        or make_rule_set(studio),
        **{"tempo": 80, **details},
    )
    space = space_for(work.source_bar, work.rule_set, students[0])
    teacher = studio.memberships.first().teacher
    ranks = [space.rank(fill) for fill in space.sample(min(n, space.size), seed)]
    return assign_fills(teacher, work, dict.fromkeys(students, ranks))


def today_of(student: Student) -> date:
    return today_in(student.studio)


def first_fill(assignment: Assignment) -> AssignedVariation:
    return assignment.variations.get(position=1)


def logged(
    student: Student, minutes: Decimal | int | str, day: date, variation=None, **details
) -> PracticeEntry:
    return log(student, Practised(Decimal(minutes), day, variation, **details))[0]


def strokes_of(fill: Fill, tempo: float, start: float = 0.0) -> list[list[float]]:
    """A fill as pads send it, exactly in time: `[milliseconds, key, velocity]`."""
    return [
        [round(start + float(note.onset) * 60_000 / tempo, 2), PLACEMENTS[stroke.surface].key, 80]
        for note, stroke in zip(fill.bar.sounded, fill.strokes, strict=True)
    ]


def taken(student: Student, variation: AssignedVariation | None = None, **details) -> Take:
    """A take on pads of one fill, kept and looked at once the transaction is through."""
    tempo = details.pop("tempo", 80)
    if "events" not in details and variation:
        details["events"] = strokes_of(variation.as_fill, tempo)
    click = details.pop("click", {"tempo": tempo, "start": 0.0})
    caught = TakeInput(
        source=details.pop("source", "pads"),
        variation=variation,
        tempo=tempo,
        click=click,
        **details,
    )
    take, _ = create_take(student, caught)
    analyse_take(take.pk)
    take.refresh_from_db()
    return take
