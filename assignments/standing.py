"""How a fill stands, told from what happened to it; knows no database."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Protocol

MASTERED, CLEAN, NOT_CLEAN = "mastered", "clean", "not clean"
CONFIRMED, TAKEN_BACK = "confirmed", "taken back"


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
class Standing:
    """Since when a fill is mastered, holds, or is back; each None where it is not."""

    mastered_at: datetime | None = None
    held_at: datetime | None = None
    returned_at: datetime | None = None
    mastered_on: date | None = None


def standing_after(steps: Iterable[Happened]) -> Standing:
    """Return how the fill stands after these steps, in the order of their days.

    What a phone without a network sends late counts on the day on which it happened. A fill
    holds after a clean re-check on a later day than it was mastered, or when the teacher says
    so; it comes back after a re-check that was not clean, or when the teacher takes it back.
    """
    standing = Standing()
    for step in sorted(steps, key=lambda step: (step.day, step.at)):
        standing = _after(standing, step)
    return standing


def _after(before: Standing, step: Happened) -> Standing:
    if step.kind == TAKEN_BACK:
        return Standing(returned_at=step.at if step.teacher_id else None)
    if step.kind == CONFIRMED:
        return replace(_mastered(before, step), held_at=before.held_at or step.at)
    if step.kind == MASTERED:
        return _mastered(before, step)
    if before.mastered_on is None or step.day <= before.mastered_on:
        return before
    if step.kind == NOT_CLEAN:
        return Standing(returned_at=step.at)
    return replace(before, held_at=before.held_at or step.at)


def _mastered(before: Standing, step: Happened) -> Standing:
    if before.mastered_at is not None:
        return before
    return Standing(mastered_at=step.at, mastered_on=step.day)
