"""Whether a fill is mastered, holds or came back, from all that happened to it; no database."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime
from fractions import Fraction
from typing import Protocol

MASTERED, CLEAN, NOT_CLEAN = "mastered", "clean", "not clean"
CONFIRMED, TAKEN_BACK = "confirmed", "taken back"
#: Of the times through, so many must be clean: four in a row, or one slip in four.
CLEAN_SHARE = Fraction(3, 4)


class Happened(Protocol):
    """One step: its kind, the student's day, the moment, and who did it."""

    @property
    def kind(self) -> str: ...
    @property
    def day(self) -> date: ...
    @property
    def at(self) -> datetime: ...
    @property
    def teacher_id(self) -> int | None: ...


@dataclass(frozen=True)
class MasteryStatus:
    """Since when a fill is mastered, holds, or is back; each None where it is not."""

    mastered_at: datetime | None = None
    held_at: datetime | None = None
    returned_at: datetime | None = None
    mastered_on: date | None = None


def mastery_status(steps: Iterable[Happened]) -> MasteryStatus:
    """Return how the fill stands after these steps, which come in the order they were kept.

    What a phone without a network sends late counts on the day on which it happened. Of one
    day, what was kept last counts last, whatever the clock said: it may have been set. A fill
    holds after a clean re-check on a later day than it was mastered, or when the teacher says
    so; it comes back after a re-check that was not clean, or when the teacher takes it back.
    """
    standing = MasteryStatus()
    for step in sorted(steps, key=lambda step: step.day):
        standing = _after(standing, step)
    return standing


def _after(before: MasteryStatus, step: Happened) -> MasteryStatus:
    if step.kind == TAKEN_BACK:
        return MasteryStatus(returned_at=step.at if step.teacher_id else None)
    if step.kind == CONFIRMED:
        return replace(_mastered(before, step), held_at=before.held_at or step.at)
    if step.kind == MASTERED:
        return _mastered(before, step)
    if before.mastered_on is None or step.day <= before.mastered_on:
        return before
    if step.kind == NOT_CLEAN:
        return MasteryStatus(returned_at=step.at)
    return replace(before, held_at=before.held_at or step.at)


def _mastered(before: MasteryStatus, step: Happened) -> MasteryStatus:
    if before.mastered_at is not None:
        return before
    return MasteryStatus(mastered_at=step.at, mastered_on=step.day)


def came_out_clean(loops: int, clean_loops: int) -> bool:
    """Whether a fill came out clean: at least three of four times through."""
    return clean_loops >= CLEAN_SHARE * loops
