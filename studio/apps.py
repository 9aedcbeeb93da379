from django.apps import AppConfig
from django.core.signals import request_finished, request_started


class StudioConfig(AppConfig):
    name = "studio"
    verbose_name = "Studio"

    def ready(self) -> None:
        # Models are there only now.
        from studio.after_answer import begin_request, finish_request  # noqa: PLC0415
        from studio.beside_pages import BesidePages  # noqa: PLC0415
        from studio.models import AccountMail, Kit, Student  # noqa: PLC0415
        from studio.operations.metrics import register_backlog  # noqa: PLC0415
        from studio.removed_things import register_removed  # noqa: PLC0415
        from studio.sweeping import OFTEN, register_sweep  # noqa: PLC0415
        from studio.tasks import sweep_all  # noqa: PLC0415

        register_removed(Student.objects.all(), "studio:student-restore")
        register_removed(Kit.objects.all(), "studio:kit-restore")
        register_backlog("mails", lambda: AccountMail.objects.overdue().count())
        register_sweep("studio.sweeping.discard_expired_sessions")
        register_sweep("studio.whole_files.discard_partial")
        register_sweep("studio.removal_for_good.delete_for_good")
        register_sweep("studio.tasks.send_waiting_mails", OFTEN)
        register_sweep("studio.once.forget_old")
        request_started.connect(begin_request)
        request_finished.connect(finish_request)
        request_finished.connect(BesidePages(sweep_all), weak=False, dispatch_uid="sweeps")
