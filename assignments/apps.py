from django.apps import AppConfig


class AssignmentsConfig(AppConfig):
    name = "assignments"
    verbose_name = "Assignments"

    def ready(self) -> None:
        # Models are there only now.
        from assignments.sharing import takes_show, variations_show  # noqa: PLC0415
        from rhythms.sharing import shown_by  # noqa: PLC0415

        shown_by(variations_show)
        shown_by(takes_show)
