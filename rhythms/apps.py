from django.apps import AppConfig


class RhythmsConfig(AppConfig):
    name = "rhythms"
    verbose_name = "Rhythms"

    def ready(self) -> None:
        from rhythms.starter_library import seed  # models are there only now  # noqa: PLC0415
        from studio.studio_opening import on_studio_created  # noqa: PLC0415

        on_studio_created(seed)
