"""Who may see what.

The first line of a view fetches what it is about *for who is asking*: what belongs to
another studio does not exist for them (404). Above it stands who is let in at all:
`teacher_required`, `student_required` or, for either, `sign_in_required`. Signed-out visitors
are sent to sign in; those in the wrong role get 403.
"""

from collections.abc import Callable
from functools import wraps
from typing import Any, TypeVar
from uuid import UUID

from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.db.models import Model, QuerySet
from django.http import HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, resolve_url
from django_htmx.http import HttpResponseClientRedirect

from studio.models import Student
from studio.request_types import Request, TeacherRequest

M = TypeVar("M", bound=Model)
View = Callable[..., HttpResponseBase]


def _let_in(is_welcome: Callable[[Request], bool]) -> Callable[[View], View]:
    """Make a decorator of views: who is not welcome is sent to sign in, or gets 403."""

    def decorate(view: View) -> View:
        @wraps(view)
        def guarded(request: Request, *args: Any, **kwargs: Any) -> HttpResponseBase:
            if not is_welcome(request):
                return _turn_away(request)
            return view(request, *args, **kwargs)

        return guarded

    return decorate


teacher_required = _let_in(lambda request: request.studio is not None)
student_required = _let_in(lambda request: request.student is not None)
sign_in_required = _let_in(lambda request: bool(request.studio or request.student))


def owned(request: TeacherRequest, kind: type[M] | QuerySet[M], pk: int | UUID) -> M:
    """Return the object of the teacher's studio with this pk, else raise Http404.

    `kind` is a model or a queryset of it. A model that hangs on its studio by another path
    than `studio` says so in `STUDIO_PATH`, such as "student__studio". Removed ones are not
    found; `owned_or_removed` finds them.
    """
    queryset = _of_studio(request, kind)
    if _is_removable(queryset.model):
        queryset = queryset.filter(removed_at=None)
    return get_object_or_404(queryset, pk=pk)


def owned_or_removed(request: TeacherRequest, kind: type[M] | QuerySet[M], pk: int) -> M:
    """Like `owned`, for bringing things back: finds removed ones too."""
    return get_object_or_404(_of_studio(request, kind), pk=pk)


def student_of(request: TeacherRequest, pk: int) -> Student:
    """Return this student of the teacher's studio, with their kit, else raise Http404."""
    return owned(request, Student.objects.select_related("kit", "studio"), pk)


def _of_studio(request: TeacherRequest, kind: type[M] | QuerySet[M]) -> QuerySet[M]:
    queryset = kind if isinstance(kind, QuerySet) else kind._default_manager.all()
    path = getattr(queryset.model, "STUDIO_PATH", "studio")
    return queryset.filter(**{path: request.studio})


def _is_removable(model: type[Model]) -> bool:
    return any(field.name == "removed_at" for field in model._meta.get_fields())


def _turn_away(request: Request) -> HttpResponse:
    if request.studio or request.student:
        raise PermissionDenied
    if request.htmx:
        return HttpResponseClientRedirect(resolve_url("studio:sign-in"))
    return redirect_to_login(request.get_full_path())
