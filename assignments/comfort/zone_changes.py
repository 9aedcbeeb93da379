"""What makes a comfort zone say something else: each change marks it, and has it made again.

The worker makes it; without a broker the process that changed something does, once its answer is
sent, as long as it is about few students. What is left stays outdated until somebody asks.
"""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from django.db import connection, transaction
from django.db.models import Q
from django.db.models.signals import post_save
from django.dispatch import receiver
from django.utils import timezone

from assignments.comfort.comfort_zones import Comfort
from assignments.comfort.tasks import refresh_comfort_zone, refresh_studio
from assignments.models import Assignment, KeptZone, Take
from rhythms.models import RuleSet, SourceBar
from studio import task_queue
from studio.elapsed import long_ago
from studio.models import Kit, Student

#: The zones of more students than these are made by the studio's job.
FEW = 8
#: What a page asked for is not asked for again within this time.
PATIENCE = timedelta(minutes=10)


@dataclass(frozen=True)
class ChangeOfZones:
    """Marks the zones of students, by pk, and asks for them, once what changed is kept."""

    students: tuple[int, ...]

    def mark(self) -> None:
        """Once the transaction is through."""
        KeptZone.objects.outdate(self.students)
        if len(self.students) <= FEW:
            task_queue.enqueue_for_later(refresh_comfort_zone, self.students)
        elif task_queue.has_worker():
            studios = Student.objects.filter(pk__in=self.students).values_list("studio", flat=True)
            task_queue.enqueue_on_commit(refresh_studio, studios.order_by().distinct())


def note_change(students: Collection[int]) -> None:
    """Have the zones of these students, by pk, made again once the transaction is through."""
    change = ChangeOfZones(tuple(sorted(students)))
    # Many takes kept at once are one change.
    waiting = [getattr(hook[1], "__self__", None) for hook in connection.run_on_commit]
    if students and change not in waiting:
        # A method: Django names it where it logs that this failed.
        transaction.on_commit(change.mark, robust=True)


@receiver(post_save, sender=Take)
def _take_changed(instance: Take, **_: Any) -> None:
    if instance.state == Take.State.DONE:
        note_change([instance.student_id])


@receiver(post_save, sender=Assignment)
def _assignment_changed(instance: Assignment, **_: Any) -> None:
    note_change([instance.student_id])


@receiver(post_save, sender=Student)
def _student_changed(instance: Student, created: bool, **_: Any) -> None:
    if not created:
        note_change([instance.pk])


@receiver(post_save, sender=Kit)
def _kit_changed(instance: Kit, created: bool, **_: Any) -> None:
    if not created:
        _note_change_of(Q(kit=instance))


@receiver(post_save, sender=SourceBar)
def _bar_changed(instance: SourceBar, created: bool, **_: Any) -> None:
    if not created:
        _note_change_of(Q(assignments__source_bar=instance, assignments__removed_at=None))


@receiver(post_save, sender=RuleSet)
def _rules_changed(instance: RuleSet, created: bool, **_: Any) -> None:
    if not created:
        _note_change_of(Q(assignments__rule_set=instance, assignments__removed_at=None))


def _note_change_of(whose: Q) -> None:
    found = Student.objects.kept().filter(whose).order_by().distinct()
    note_change(list(found.values_list("pk", flat=True)))


def ask_for_outdated(comforts: dict[Student, Comfort]) -> None:
    """Have the worker make again what a page found outdated; without a worker, nothing.

    Asked once in a while: a page that is looked at again and again asks no more often.
    """
    old = [student.pk for student, one in comforts.items() if not one.is_current]
    if not old or not task_queue.has_worker():
        return
    KeptZone.objects.bulk_create([KeptZone(student_id=pk) for pk in old], ignore_conflicts=True)
    not_lately = Q(asked_at=None) | long_ago("asked_at", PATIENCE)
    waiting = KeptZone.objects.filter(not_lately, student__in=old)
    if waiting.update(asked_at=timezone.now()):
        studios = {student.studio_id for student in comforts}
        task_queue.enqueue_on_commit(refresh_studio, studios)
