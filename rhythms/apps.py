from django.apps import AppConfig
from django.db.models.signals import post_delete


class RhythmsConfig(AppConfig):
    name = "rhythms"
    verbose_name = "Rhythms"

    def ready(self) -> None:
        # Models are there only now.
        from rhythms.models import (  # noqa: PLC0415
            BarImport,
            Ladder,
            LadderStep,
            Rendering,
            RuleSet,
            SourceBar,
            StudioGroove,
            TeacherTake,
        )
        from rhythms.renderings.made_files import delete_file_of, discard_files_of  # noqa: PLC0415
        from rhythms.renderings.visibility import register_check  # noqa: PLC0415
        from rhythms.rudiments.rudiment_list import rudiments_show  # noqa: PLC0415
        from rhythms.starter_library import seed  # noqa: PLC0415
        from studio.models import Student  # noqa: PLC0415
        from studio.operations.metrics import register_backlog  # noqa: PLC0415
        from studio.removal import on_removal  # noqa: PLC0415
        from studio.removed_things import register_removed  # noqa: PLC0415
        from studio.studio_opening import on_studio_created  # noqa: PLC0415
        from studio.sweeping import OFTEN, register_sweep  # noqa: PLC0415

        on_studio_created(seed)
        register_check(rudiments_show)
        on_removal(Student, discard_files_of)
        post_delete.connect(delete_file_of, sender=Rendering)
        register_removed(SourceBar.objects.all(), "rhythms:bar-restore")
        register_removed(StudioGroove.objects.all(), "rhythms:groove-restore")
        register_removed(RuleSet.objects.all(), "rhythms:rule-set-restore")
        register_removed(Ladder.objects.all(), "rhythms:ladder-restore")
        steps = LadderStep.objects.filter(ladder__removed_at=None).select_related("rule_set")
        register_removed(steps, "rhythms:step-restore")
        register_removed(TeacherTake.objects.all(), "rhythms:own-playing-restore")
        register_backlog("renderings", lambda: Rendering.objects.overdue().count())
        register_backlog("files", lambda: BarImport.objects.overdue().count())
        register_sweep("rhythms.tasks.sweep", OFTEN)
        register_sweep("rhythms.renderings.made_files.discard_strays")
