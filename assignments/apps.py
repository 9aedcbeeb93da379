from django.apps import AppConfig


class AssignmentsConfig(AppConfig):
    name = "assignments"
    verbose_name = "Assignments"

    def ready(self) -> None:
        # Models are there only now.
        from django.contrib.auth.signals import user_logged_out  # noqa: PLC0415

        from assignments.models import (  # noqa: PLC0415
            AssignedVariation,
            Assignment,
            Reminder,
            Take,
        )
        from assignments.reminders.reminder_store import forget_of_session  # noqa: PLC0415
        from assignments.rendering_checks import (  # noqa: PLC0415
            grooves_lead,
            simpler_forms_show,
            takes_show,
            variations_show,
        )
        from rhythms.renderings.made_files import discard_files_of  # noqa: PLC0415
        from rhythms.renderings.visibility import register_check  # noqa: PLC0415
        from studio.models import Student  # noqa: PLC0415
        from studio.operations.metrics import register_backlog  # noqa: PLC0415
        from studio.removal import on_removal  # noqa: PLC0415
        from studio.removed_things import register_removed  # noqa: PLC0415
        from studio.sweeping import OFTEN, register_sweep  # noqa: PLC0415

        for check in (variations_show, takes_show, grooves_lead, simpler_forms_show):
            register_check(check)
        on_removal(Assignment, lambda given: discard_files_of(given.student))
        on_removal(AssignedVariation, lambda fill: discard_files_of(fill.assignment.student))
        given = Assignment.objects.filter(student__removed_at=None).select_related("student")
        register_removed(given, "assignments:assignment-restore", lambda one: one.student)
        fills = AssignedVariation.objects.filter(
            assignment__removed_at=None, assignment__student__removed_at=None
        )
        fills = fills.select_related("assignment__student")
        register_removed(fills, "assignments:variation-restore", lambda one: one.assignment.student)
        takes = Take.objects.filter(student__removed_at=None)
        takes = takes.select_related("student", "variation__assignment")
        register_removed(takes, "assignments:take-restore", lambda one: one.student)
        register_backlog("takes", lambda: Take.objects.overdue().count())
        register_sweep("assignments.tasks.sweep_takes", OFTEN)
        register_sweep("assignments.tasks.send_reminders", OFTEN)
        on_removal(Student, lambda student: Reminder.objects.filter(student=student).delete())
        user_logged_out.connect(forget_of_session)
        register_sweep("assignments.device_forms.forget_old")
