"""The studio of the demo: invented, like everybody in it."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from assignments.demo import practice_habits, styles
from assignments.demo.demo_takes import DemoPlaying
from assignments.demo.practice_habits import Habit
from assignments.models import Take
from rhythms.engine import Surface
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.starter_library import STEPS
from studio.models import Student

STUDIO = "Above the Bakery"
TIMEZONE = "UTC"
TEACHER = "runa@above-the-bakery.example"
#: Printed by the demo, which refuses to run where the site is open to others.
PASSWORD = "flams before breakfast"  # noqa: S105

WEEKS = 12

#: Besides the standard kit that every studio opens with.
KITS = {
    "Practice pad": ["snare"],
    "Snare, hi-hat and rim click": ["snare", "cross-stick", "hi-hat", "hi-hat foot"],
    "Small kit": ["snare", "floor tom", "hi-hat", "ride", "bass drum", "hi-hat foot"],
    "Big kit": [
        "snare",
        "high tom",
        "mid tom",
        "floor tom",
        "hi-hat",
        "ride",
        "ride bell",
        "crash",
        "splash",
        "china",
        "cowbell",
        "bass drum",
        "hi-hat foot",
    ],
}

LEARN, EIGHTHS_STAY, OPPOSITE, PARADIDDLE, ROUND_THE_KIT = (name for name, _, _ in STEPS)

#: A bar and a rule set that the teacher has added to what a studio opens with.
OWN_BAR = ("Summer concert, bar 8", "4/4", "1 e & a 2 & 3 a 4 e & a", "Own sheet 3, line 2")
CRASH_AND_TOMS = "16ths on toms and crash"
OWN_RULE_SET = (
    CRASH_AND_TOMS,
    "For the concert: loud, and never on the hi-hat.",
    [
        {"rule": "placement", "values": ["16th"], "surfaces": ["toms", "crash"]},
        {"rule": "placement", "values": ["eighth"], "surfaces": ["snare"]},
    ],
)


#: A groove that the teacher has written: name, meter, style, lines, and a bar that leads on.
OWN_GROOVE = (
    "Oven door",
    "4/4",
    "funk",
    {
        "hi-hat": "1 & 2 & 3 & 4",
        "open hi-hat": "(4) &",
        "snare": "2> a< (3) e< 4>",
        "bass drum": "1 (2) & 3 &",
    },
    {"open hi-hat": "(1)", "snare": "2> 4> e & a>"},
)


class Task(NamedTuple):
    """What a lesson may bring: so many fills of a bar, or of its last beats, under a rule set."""

    bar: str
    rule_set: str
    fills: int
    beats: int | None = None
    feel: Feel = STRAIGHT


class Lesson(NamedTuple):
    """New fills in one of the weeks, counted from 0; tempo in beats a minute."""

    week: int
    task: Task
    tempo: int
    note: str = ""


@dataclass(frozen=True)
class Person:
    """A student, and how the twelve weeks went.

    `grooves` are those that they work with, by name. `playing` is what their kit caught of them;
    `way_out`, where there is one, was given to lead them out of what they fell back on until then.
    """

    nickname: str
    story: str
    kit: str
    level: Student.Level
    lesson_weekday: Student.Weekday | None
    habit: Habit
    lessons: tuple[Lesson, ...]
    playing: tuple[DemoPlaying, ...] = ()
    way_out: Lesson | None = None
    handedness: Student.Handedness = Student.Handedness.RIGHT
    grooves: tuple[str, ...] = ()


_TURNS = "Eighths and 16ths by turns"

_PAD = (
    Task(_TURNS, LEARN, 1),
    Task("Eighth and two 16ths", LEARN, 1),
    Task(_TURNS, PARADIDDLE, 1),
    Task("Two 16ths and eighth", LEARN, 1),
    Task("Eighth and two 16ths", PARADIDDLE, 1),
    Task("Two 16ths and eighth", PARADIDDLE, 1),
    Task("16ths", PARADIDDLE, 1),
)
_FIRST_STEPS = (
    Task("Eighth and two 16ths", LEARN, 1),
    Task("Eighth and two 16ths", EIGHTHS_STAY, 2),
    Task(_TURNS, LEARN, 1),
    Task(_TURNS, EIGHTHS_STAY, 2),
    Task(_TURNS, OPPOSITE, 2),
)
_MIDDLE = (
    Task(_TURNS, EIGHTHS_STAY, 2),
    Task(_TURNS, OPPOSITE, 2),
    Task("Two 16ths and eighth", EIGHTHS_STAY, 3, beats=2),
    Task("Rests on the beats", EIGHTHS_STAY, 3),
    Task(_TURNS, PARADIDDLE, 1),
    Task(_TURNS, ROUND_THE_KIT, 3),
    Task(OWN_BAR[0], EIGHTHS_STAY, 3),
    Task("Pushed across the middle", EIGHTHS_STAY, 2),
    Task("Triplets and eighths", EIGHTHS_STAY, 3),
)
_FURTHER = (
    Task(_TURNS, PARADIDDLE, 1),
    Task(_TURNS, ROUND_THE_KIT, 4),
    Task("Eighth and two 16ths", ROUND_THE_KIT, 4),
    Task("16ths, every third accented", EIGHTHS_STAY, 4),
    Task("Three beats, 16ths at the end", ROUND_THE_KIT, 3),
    Task("Six-eight, 16ths in the second half", EIGHTHS_STAY, 3),
    # Among triplets eighths swing (common practice).
    Task("Eighths and 16th triplets", EIGHTHS_STAY, 4, feel=Feel.parse("triplet")),
    Task(OWN_BAR[0], CRASH_AND_TOMS, 4),
    Task("Seven-eight, two and two and three", EIGHTHS_STAY, 4),
    Task("Dotted eighths and 16ths", ROUND_THE_KIT, 4),
)


def _course(
    tasks: Iterable[Task], weeks: Iterable[int], tempo: int, note: str = ""
) -> tuple[Lesson, ...]:
    """Bring a task in each of these weeks, a little faster from one to the next."""
    planned = zip(weeks, tasks, strict=False)
    lessons = [Lesson(week, task, tempo + 2 * place) for place, (week, task) in enumerate(planned)]
    return (*lessons[:-1], lessons[-1]._replace(note=note))


BEGINNER, INTERMEDIATE, ADVANCED = Student.Level
MONDAY, TUESDAY, WEDNESDAY, THURSDAY, FRIDAY, SATURDAY, _ = Student.Weekday
LEFT = Student.Handedness.LEFT

PEOPLE = (
    Person(
        "Ilja",
        "the star",
        "Big kit",
        ADVANCED,
        TUESDAY,
        practice_habits.STAR,
        _course(_FURTHER, (0, 1, 2, 3, 5, 6, 7, 8, 10, 11), 92, "Try this one without looking."),
        (
            DemoPlaying(2, 11, 2, styles.trying(Surface.SPLASH, Surface.CHINA)),
            DemoPlaying(5, 11, 2),
        ),
        grooves=("Oven door", "jazz ride", "bossa nova", "7/8 rock"),
    ),
    Person(
        "Noor",
        "always plays the same two fills",
        "Standard kit",
        INTERMEDIATE,
        WEDNESDAY,
        practice_habits.SAME_TWO,
        _course(_MIDDLE, (0, 2, 4, 6, 9), 84),
        (DemoPlaying(2, 11, 3, favourites=2),),
        grooves=("funk", "half-time shuffle"),
    ),
    Person(
        "Bo",
        "never practises",
        "Standard kit",
        INTERMEDIATE,
        MONDAY,
        practice_habits.NEVER,
        _course(_MIDDLE, (0, 2, 7), 80, "Two minutes a day are enough to begin with."),
    ),
    Person(
        "Wren",
        "a beginner, six weeks in",
        "Small kit",
        BEGINNER,
        THURSDAY,
        practice_habits.FIVE_A_DAY,
        _course(_FIRST_STEPS, (6, 7, 9, 10, 11), 60, "Slow is fine."),
        (DemoPlaying(7, 11, 1),),
        grooves=("rock",),
    ),
    Person(
        "Luz",
        "practises the day before the lesson",
        "Standard kit",
        INTERMEDIATE,
        SATURDAY,
        practice_habits.THE_DAY_BEFORE,
        _course(_MIDDLE, (0, 1, 3, 5, 6, 8, 10), 84),
        (DemoPlaying(5, 11, 4, styles.mostly(styles.down_the_toms)),),
        grooves=("shuffle", "disco", "6/8 in eighths"),
    ),
    Person(
        "Teo",
        "stopped three weeks ago",
        "Small kit",
        INTERMEDIATE,
        WEDNESDAY,
        practice_habits.STOPPED,
        _course(_MIDDLE, (0, 1, 3, 5, 7, 9), 78),
        (DemoPlaying(3, 8, 4, styles.only(Surface.SNARE)),),
    ),
    Person(
        "Mei",
        "has mastered everything",
        "Snare, hi-hat and rim click",
        BEGINNER,
        FRIDAY,
        practice_habits.STEADY,
        _course(_MIDDLE, (1, 3, 5), 66),
        (DemoPlaying(5, 11, 4, styles.mostly(styles.ending_on(Surface.HI_HAT))),),
    ),
    Person(
        "Fenna",
        "left-handed, steady",
        "Standard kit",
        ADVANCED,
        FRIDAY,
        practice_habits.STEADY,
        _course(_FURTHER, (0, 1, 3, 5, 7, 9, 11), 88),
        (
            DemoPlaying(5, 7, 3, styles.mostly(styles.ending_on(Surface.CRASH))),
            DemoPlaying(8, 11, 4, styles.wide),
        ),
        handedness=LEFT,
        grooves=("Oven door", "samba", "3/4 in eighths", "slow 12/8"),
    ),
    Person(
        "Kofi",
        "left-handed, has only a pad",
        "Practice pad",
        BEGINNER,
        MONDAY,
        practice_habits.FIVE_A_DAY,
        _course(_PAD, (0, 1, 3, 5, 7, 9, 11), 66),
        (DemoPlaying(4, 11, 2, source=Take.Source.PADS),),
        handedness=LEFT,
    ),
    Person(
        "Gus",
        "an adult, practises before he comes",
        "Big kit",
        INTERMEDIATE,
        None,
        practice_habits.WEEKENDS,
        _course(_MIDDLE, (0, 2, 4, 6, 10), 90),
        (
            DemoPlaying(3, 8, 6, styles.mostly(styles.down_the_toms)),
            DemoPlaying(9, 11, 6, styles.wide),
        ),
        way_out=Lesson(8, Task(_TURNS, ROUND_THE_KIT, 3), 90, "Somewhere else than down the toms."),
        grooves=("rock", "ballad", "train"),
    ),
)
