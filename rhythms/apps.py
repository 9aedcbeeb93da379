from django.apps import AppConfig


class RhythmsConfig(AppConfig):
    name = "rhythms"
    verbose_name = "Rhythms"

    def ready(self) -> None:
        from rhythms.seeding import seed  # models are there only now  # noqa: PLC0415
        from studio.opening import on_opening  # noqa: PLC0415

        on_opening(seed)
