"""Forms that a student's device keeps and sends by itself, once.

Such a form is posted as it is, with two headers more: the id that the device made for it, and
whose it is. static/js/offline/later_forms.js sends them; without it the views answer as ever.
"""

from collections.abc import Callable
from functools import wraps
from http import HTTPStatus
from typing import Any
from uuid import UUID

from django.db import transaction
from django.http import HttpResponse, HttpResponseRedirect, JsonResponse
from django.utils import timezone

from assignments.models import DeviceForm
from studio.models import Student
from studio.request_types import Request
from studio.retention import DEVICE_FORM_REMEMBERED_FOR

ID, WHOSE = "X-Form-Id", "X-Form-Student"

FormView = Callable[..., HttpResponse]


def sent_once(view: FormView) -> FormView:
    """Let a student's device send the form of this view again without harm.

    Where the view redirects, the form is taken and the answer is `{"to": the address}`; the
    same id again changes nothing. Any other answer of the view, with its words for what is
    wrong, takes nothing and is never one of success. 401 where somebody else is signed in.
    """

    @wraps(view)
    def once(request: Request, *args: Any, **kwargs: Any) -> HttpResponse:
        sent_id = request.headers.get(ID)
        if request.method != "POST" or sent_id is None or request.student is None:
            return view(request, *args, **kwargs)
        try:
            pk = UUID(sent_id)
        except ValueError:
            return HttpResponse(f"{ID} is not a UUID.", status=HTTPStatus.BAD_REQUEST)
        if request.headers.get(WHOSE) != str(request.student.pk):
            return HttpResponse(status=HTTPStatus.UNAUTHORIZED)
        return _take(pk, request.student, lambda: view(request, *args, **kwargs))

    return once


def _take(pk: UUID, student: Student, answer_to: Callable[[], HttpResponse]) -> HttpResponse:
    with transaction.atomic():
        _, is_new = DeviceForm.objects.get_or_create(pk=pk, defaults={"student": student})
        answer = answer_to() if is_new else HttpResponseRedirect("")
        if isinstance(answer, HttpResponseRedirect):
            return JsonResponse({"to": answer.url})
        transaction.set_rollback(True)
    if answer.status_code < HTTPStatus.BAD_REQUEST:
        answer.status_code = HTTPStatus.UNPROCESSABLE_ENTITY
    return answer


def forget_old() -> None:
    """Delete the ids that no device will send again."""
    DeviceForm.objects.filter(at__lt=timezone.now() - DEVICE_FORM_REMEMBERED_FOR).delete()
