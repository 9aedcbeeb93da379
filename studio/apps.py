from django.apps import AppConfig


class StudioConfig(AppConfig):
    name = "studio"
    verbose_name = "Studio"

    def ready(self) -> None:
        # Models are there only now.
        from studio.models import Kit, Student  # noqa: PLC0415
        from studio.removed_things import register_removed  # noqa: PLC0415

        register_removed(Student.objects.all(), "studio:student-restore")
        register_removed(Kit.objects.all(), "studio:kit-restore")
