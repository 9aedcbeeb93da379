from django.apps import AppConfig


class AssignmentsConfig(AppConfig):
    name = "assignments"
    verbose_name = "Assignments"

    def ready(self) -> None:
        # Models are there only now.
        from assignments.rendering_checks import takes_show, variations_show  # noqa: PLC0415
        from rhythms.renderings.visibility import register_check  # noqa: PLC0415

        register_check(variations_show)
        register_check(takes_show)
