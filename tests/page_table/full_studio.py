"""Fill an empty, migrated database with a large studio; everything in it is invented.

Runs by itself, on whatever checkout is on the path: what it fills, older code reads too.
"""

import os
import sys
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from random import Random
from uuid import UUID

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "studio.settings")
django.setup()

from django.db import connection, transaction  # noqa: E402
from django.utils import timezone  # noqa: E402

from assignments.days import today_in  # noqa: E402
from assignments.demo.styles import down_the_toms, ending_on, mostly, only, wide  # noqa: E402
from assignments.models import (  # noqa: E402
    AssignedVariation,
    Assignment,
    MasteryEvent,
    PracticeEntry,
    Take,
)
from assignments.takes.take_analysis import analyse_take  # noqa: E402
from rhythms.engine import FillSpace, Surface  # noqa: E402
from rhythms.engine.fills.hands import StickingStyle, stuck  # noqa: E402
from rhythms.fill_spaces import engine_kit, space_for  # noqa: E402
from rhythms.models import Rendering, RuleSet, SourceBar  # noqa: E402
from rhythms.notation.staff_placement import PLACEMENTS  # noqa: E402
from rhythms.renderings.rendering_maker import make  # noqa: E402
from rhythms.renderings.rendering_store import renderings_for  # noqa: E402
from studio.models import SignInLink, Student, Studio, Teacher  # noqa: E402
from studio.studio_opening import create_studio  # noqa: E402

DAY = timedelta(days=1)
#: How long the studio has been open, in days.
OPEN_FOR = 728
BARS, RULE_SETS, LINKS = 120, 40, 30
ASSIGNMENTS, FILLS, SPACES, KNOWN = 24, 4, 8, 24
TAKES, TAKE_DAYS, POOL = 60, 84, 40
TEMPO = 84
STYLES = (
    down_the_toms,
    mostly(down_the_toms),
    wide,
    mostly(ending_on(Surface.FLOOR_TOM)),
    only(Surface.SNARE, Surface.HI_HAT),
)
FIRST = ("Ba", "Do", "Fi", "Ka", "Le", "Mo", "Nu", "Pi", "Ro", "Sa", "Ti", "Vo", "Wi", "Ya", "Zu")
LAST = ("bel", "dor", "fin", "gal", "kim", "lun", "mar", "nik", "pek", "ran")


def fill(students: int, entries: int) -> None:
    """Open the studio and let two years of it pass."""
    studio, teacher = opened()
    people = enrolled(studio, students)
    says(f"{len(people)} students")
    given = assigned(studio, teacher, people)
    says(f"{Assignment.objects.count()} assignments, {AssignedVariation.objects.count()} fills")
    says(f"{taken(studio, people, given)} takes")
    says(f"{logged(studio, people, given, entries)} entries")
    with connection.cursor() as cursor:
        cursor.execute("VACUUM ANALYZE")


def says(what: str) -> None:
    print(f"  {what}", file=sys.stderr, flush=True)


def opened() -> tuple[Studio, Teacher]:
    teacher = Teacher.objects.create_user("many@example.org", "paradiddle-diddle-7")
    studio = create_studio("Three hundred", "Europe/Berlin", teacher)
    counts = [bar.counts for bar in studio.bars.filter(meter="4/4")]
    SourceBar.objects.bulk_create(
        SourceBar(studio=studio, name=f"Reading {at}", meter="4/4", counts=counts[at % len(counts)])
        for at in range(1, BARS + 1)
    )
    rules = [one.rules for one in studio.rule_sets.all()]
    RuleSet.objects.bulk_create(
        RuleSet(studio=studio, name=f"Term {at}", rules=rules[at % len(rules)])
        for at in range(1, RULE_SETS + 1)
    )
    return studio, teacher


def nicknames() -> Iterator[str]:
    number = 1
    while True:
        for first in FIRST:
            for last in LAST:
                yield f"{first}{last}" if number == 1 else f"{first}{last} {number}"
        number += 1


def enrolled(studio: Studio, number: int) -> list[Student]:
    kit = studio.kits.get()
    people = Student.objects.bulk_create(
        Student(
            studio=studio,
            kit=kit,
            nickname=nickname,
            lesson_weekday=at % 8 if at % 8 < 7 else None,
            handedness="left" if at % 9 == 0 else "right",
        )
        for at, nickname in zip(range(number), nicknames(), strict=False)
    )
    for student in people:
        SignInLink.issue(student)
    for _ in range(LINKS):
        SignInLink.issue(people[number // 2])
    return people


def spaces_of(studio: Studio) -> list[tuple[SourceBar, RuleSet, FillSpace]]:
    """Bars and rule sets that leave enough fills to hand out."""
    kit, found = studio.kits.get(), []
    for bar in studio.bars.filter(meter="4/4").exclude(name__startswith="Reading"):
        for rules in studio.rule_sets.exclude(name__startswith="Term"):
            space = space_for(bar, rules, kit)
            if space.size >= KNOWN:
                found.append((bar, rules, space))
                break
    return found[:SPACES]


def assigned(
    studio: Studio, teacher: Teacher, people: list[Student]
) -> dict[int, list[AssignedVariation]]:
    """Return each student's fills by student pk, the oldest first."""
    spaces = [(*one, drawn(one[2])) for one in spaces_of(studio)]
    kit, now = engine_kit(studio.kits.get()).to_json(), timezone.now()
    pieces = []
    for at, student in enumerate(people):
        for number in range(ASSIGNMENTS):
            bar, rules, space, _ = spaces[(at + number) % len(spaces)]
            pieces.append(
                Assignment(
                    studio=studio,
                    student=student,
                    source_bar=bar,
                    rule_set=rules,
                    bar_name=bar.name,
                    rule_set_name=rules.name,
                    sentences=list(space.rule_set.sentences()),
                    kit=kit,
                    tempo=TEMPO,
                    fills_given=FILLS,
                    away_from=[space.fill(0).to_json()] if number % 12 == 11 else [],
                    created_by=teacher,
                )
            )
    Assignment.objects.bulk_create(pieces, batch_size=2000)
    for at, piece in enumerate(pieces):
        number = at % ASSIGNMENTS
        piece.created_at = now - (OPEN_FOR - number * OPEN_FOR / ASSIGNMENTS - 7) * DAY
    Assignment.objects.bulk_update(pieces, ["created_at"], batch_size=1000)
    return with_fills(pieces, spaces)


def drawn(space: FillSpace) -> list[tuple[int, dict, Rendering]]:
    """Rank, fill and engraving of so many fills of a space."""
    fills = space.sample(KNOWN, seed=1)
    shown = [stuck(one, space.kit, TEMPO, StickingStyle.AS_TAUGHT) for one in fills]
    with transaction.atomic():
        renderings = renderings_for(shown, counts=True)
    for one in renderings:
        make(one.key)
    return [
        (space.rank(one), one.to_json(), rendering)
        for one, rendering in zip(fills, renderings, strict=True)
    ]


def with_fills(pieces: list[Assignment], spaces: list) -> dict[int, list[AssignedVariation]]:
    by_bar = {one[0].pk: one for one in spaces}
    fills = []
    for at, piece in enumerate(pieces):
        number = at % ASSIGNMENTS
        _, _, space, known = by_bar[piece.source_bar_id]
        mastered = piece.created_at + 20 * DAY if number < ASSIGNMENTS - 5 else None
        for position in range(FILLS):
            rank, stored, rendering = known[(at * FILLS + position) % len(known)]
            fills.append(
                AssignedVariation(
                    assignment=piece,
                    position=position + 1,
                    rank=rank,
                    space_size=space.size,
                    fill=stored,
                    rendering=rendering,
                    top_tempo=160,
                    effort="easy",
                    reason="Far from what they know.",
                    mastered_at=mastered,
                    held_at=(mastered and number % 3 and mastered + 7 * DAY) or None,
                )
            )
    AssignedVariation.objects.bulk_create(fills, batch_size=2000)
    MasteryEvent.objects.bulk_create(
        [
            MasteryEvent(variation=one, kind=kind, day=at.date(), at=at)
            for one in fills
            for kind, at in (("mastered", one.mastered_at), ("clean", one.held_at))
            if at
        ],
        batch_size=5000,
    )
    of_students: dict[int, list[AssignedVariation]] = {}
    for one in fills:
        of_students.setdefault(one.assignment.student_id, []).append(one)
    return of_students


def taken(studio: Studio, people: list[Student], given: dict) -> int:
    """Takes of twelve weeks, each as the worker leaves it; returns how many."""
    today, kit = today_in(studio), engine_kit(studio.kits.get())
    bars = [one.bar for one in studio.bars.filter(meter="4/4")[:4]]
    pools = [
        [
            style(bars[number % len(bars)], kit, Random(f"{at} {number}")).to_json()
            for number in range(POOL)
        ]
        for at, style in enumerate(STYLES)
    ]
    looked_at = sample_take(people[0], given[people[0].pk][-1])
    takes, random = [], Random("takes")
    for at, student in enumerate(people):
        pool, own = pools[at % len(pools)], given[student.pk][-12:]
        for number in range(TAKES):
            variation = own[number % len(own)] if number % 2 else None
            played = [random.choice(pool), random.choice(pool)]
            takes.append(
                Take(
                    id=UUID(int=random.getrandbits(128)),
                    student=student,
                    variation=variation,
                    source="pads",
                    meter="4/4",
                    tempo=TEMPO,
                    seconds=round(random.uniform(10, 40), 1),
                    events=looked_at.events,
                    click=looked_at.click,
                    jitter=6.0,
                    analysis=looked_at.analysis,
                    fills=played if variation is None else [variation.fill, played[0]],
                    state="done",
                    analysed_at=timezone.now(),
                    day=today - (number * TAKE_DAYS // TAKES) * DAY,
                )
            )
    Take.objects.bulk_create(takes, batch_size=1000)
    return len(takes)


def sample_take(student: Student, variation: AssignedVariation) -> Take:
    fill = variation.as_fill
    take = Take.objects.create(
        student=student,
        variation=variation,
        source="pads",
        meter=str(fill.bar.meter),
        tempo=TEMPO,
        seconds=6,
        events=[
            [round(float(note.onset) * 60_000 / TEMPO, 2), PLACEMENTS[stroke.surface].key, 80]
            for note, stroke in zip(fill.bar.sounded, fill.strokes, strict=True)
        ],
        click={"tempo": TEMPO, "start": 0.0},
        jitter=6.0,
        day=today_in(student.studio),
    )
    analyse_take(take.pk)
    take.refresh_from_db()
    return take


def logged(studio: Studio, people: list[Student], given: dict, number: int) -> int:
    """So many lines of practice logs, spread over the students and the days."""
    columns = (
        "id, student_id, variation_id, day, minutes, tempo, loops, clean_loops, felt, recheck,"
        " note, created_at, removed_at"
    )
    rows = practice(people, given, number, today_in(studio))
    connection.ensure_connection()
    with (
        connection.cursor() as cursor,
        cursor.copy(f"COPY {PracticeEntry._meta.db_table} ({columns}) FROM STDIN") as copy,
    ):
        for row in rows:
            copy.write_row(row)
    return number


def practice(people: list[Student], given: dict, number: int, today: date) -> Iterator[tuple]:
    random, each = Random("log"), number // len(people)
    felt = ("easy", "good", "hard", "", "")
    for at, student in enumerate(people):
        own = [one.pk for one in given[student.pk]]
        # One in ten has not practised for a while.
        rests = 12 if at % 10 == 3 else 0
        for line in range(each):
            back = rests + line * (OPEN_FOR - rests) // each
            day = today - back * DAY
            written = datetime.combine(day, time(18, line % 60), timezone.get_current_timezone())
            loops = random.randint(2, 12)
            recent = own[max(0, len(own) - 8 - back // 8) : len(own) - back // 8] or own
            yield (
                UUID(int=random.getrandbits(128)),
                student.pk,
                random.choice(recent),
                day,
                random.randint(5, 80) / 10,
                random.choice((72, 80, 84, 88, None)),
                loops,
                random.randint(0, loops),
                random.choice(felt),
                line % 50 == 7,
                "" if line % 20 else "Went well at the end",
                written,
                written if line % 50 == 3 else None,
            )


if __name__ == "__main__":
    fill(*map(int, sys.argv[1:]))
