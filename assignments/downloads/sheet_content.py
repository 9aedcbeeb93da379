"""What a student takes home on paper: an assignment, a week, a single fill."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import groupby

from assignments import text
from assignments.blocks import groove_written
from assignments.fill_queries import fills_of
from assignments.models import AssignedVariation, Assignment
from assignments.models.variation import VariationQuerySet
from rhythms.engine import Bar
from rhythms.notation.practice_text import leading_bar
from rhythms.notation.sheets import Exercise, Section, Sheet
from rhythms.sheets.sheet_text import TICK, Look, cautions, how_to_play
from studio.models import Student

#: As many fills as a week of five minutes a day has room for, unless asked otherwise.
FILLS_A_WEEK = 12
#: More than that fits no music stand.
MOST_FILLS = 24
_WEEK = timedelta(days=7)
_DAY = timedelta(days=1)


def sheet_of_assignment(assignment: Assignment, look: Look) -> Sheet:
    """All fills that are left of an assignment."""
    fills = _shown(assignment.variations.kept().order_by("position"))
    return Sheet(
        title=assignment.bar_name,
        lines=(_for(assignment.student), TICK),
        sections=(_section(assignment, fills, assignment.rule_set_name),),
        cautions=cautions("practice"),
        **look._asdict(),
    )


def sheet_of_week(student: Student, first: date, look: Look, how_many: int = FILLS_A_WEEK) -> Sheet:
    """Seven days from `first`: what the student has to play, due first, by assignment.

    Of many fills, only the `how_many` to play first.
    """
    left = _shown(fills_of(student).filter(mastered_at=None))
    fills = left[:how_many]
    sections = (
        _section(assignment, list(group), f"{assignment.bar_name}: {assignment.rule_set_name}")
        for assignment, group in groupby(fills, key=lambda fill: fill.assignment)
    )
    more = len(left) - len(fills)
    return Sheet(
        title=f"{student.nickname}: {_span(first, first + _WEEK - _DAY)}",
        lines=(_for(student), _what_there_is(fills), *_not_on_paper(more)),
        sections=tuple(_each_groove_once(sections)),
        days=tuple(f"{first + number * _DAY:%a}" for number in range(_WEEK.days)),
        cautions=cautions("practice"),
        **look._asdict(),
    )


def sheet_of_fill(variation: AssignedVariation, look: Look) -> Sheet:
    """One fill, large."""
    assignment = variation.assignment
    return Sheet(
        title=str(variation),
        lines=(_for(assignment.student), TICK),
        sections=(_section(assignment, [variation], str(assignment)),),
        cautions=cautions("practice"),
        **look._asdict(),
    )


def _section(assignment: Assignment, fills: Sequence[AssignedVariation], heading: str) -> Section:
    bar = fills[0].as_fill.bar if fills else assignment.bar
    surfaces = assignment.drawn_for.surfaces
    how = assignment.tempo, assignment.block_bars, bar, surfaces, assignment.feel
    lines = [how_to_play(*how, sets_up=assignment.sets_up)]
    if assignment.due_on:
        lines.append(f"Due {assignment.due_on:%A %-d %B}.")
    if assignment.note:
        lines.append(f"“{assignment.note}”")
    lines += dict.fromkeys(fill.hands_proposed for fill in fills if fill.hands_proposed)
    exercises = tuple(map(_exercise, fills))
    groove = _groove(assignment, bar)
    return Section(heading, exercises, tuple(lines), tuple(assignment.sentences), groove)


def _groove(assignment: Assignment, bar: Bar) -> tuple[Exercise, ...]:
    """The groove's bars, and the one that leads into the fill where it does."""
    name, fills, _ = groove_written(assignment, bar.meter.one_bar)
    labels = (f"The groove: {name}", leading_bar(bar))
    return tuple(
        Exercise(label, fill, feel=assignment.feel)
        for label, fill in zip(labels, fills, strict=False)
    )


def _each_groove_once(sections: Iterable[Section]) -> Iterator[Section]:
    """The sections, without a groove that stands on the sheet already."""
    shown: set[tuple[Exercise, ...]] = set()
    for section in sections:
        yield replace(section, groove=()) if section.groove in shown else section
        shown.add(section.groove)


def _exercise(variation: AssignedVariation) -> Exercise:
    """The fill with the hands that the student's pages show."""
    shown = variation.rendering
    return Exercise(str(variation), shown.fill, _standing(variation), shown.feel)


def _standing(variation: AssignedVariation) -> str:
    """What is known of the fill already, in a word."""
    if variation.mastered_at:
        return "holds" if variation.held_at else "mastered"
    return "came back" if variation.returned_at else ""


def _shown(variations: VariationQuerySet) -> list[AssignedVariation]:
    return list(variations.select_related("assignment__student", "rendering"))


def _for(student: Student) -> str:
    return f"For {student.nickname}, {student.get_handedness_display().lower()}."


def _what_there_is(fills: Sequence[AssignedVariation]) -> str:
    return f"Five minutes a day are enough. {TICK}" if fills else "Nothing is left to play."


def _not_on_paper(more: int) -> tuple[str, ...]:
    return (f"{text.count(more, 'more fill')} when these are done.",) if more else ()


def _span(first: date, last: date) -> str:
    """`25 November to 1 December`, `2 to 8 December`."""
    same_month = (first.year, first.month) == (last.year, last.month)
    return f"{first:%-d}{'' if same_month else f'{first: %B}'} to {last:%-d %B}"
