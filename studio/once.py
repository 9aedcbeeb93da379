"""A form that is sent twice, as by a double click, does its work once and is answered alike.

What makes a page its own is the token that Django writes into its forms: masked anew for each
page, the same in both clicks. What was sent with it is hashed into a key, and the database
keeps each key once.
"""

import hashlib
from collections.abc import Callable, Iterator
from functools import wraps
from typing import Any, cast

from django.contrib import messages
from django.contrib.messages import get_messages
from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.http import HttpResponse, HttpResponseBase
from django.shortcuts import redirect
from django.utils import timezone

from studio.models import SentForm, Teacher
from studio.request_types import TeacherRequest
from studio.retention import SENT_FORM_REMEMBERED_FOR

TOKEN = "csrfmiddlewaretoken"  # noqa: S105 - the name of a field

View = Callable[..., HttpResponseBase]


def once(view: View) -> View:
    """Make a teacher's view do its work once for each page that is sent.

    Where it redirects, its work is done; any other answer, such as a form with its errors, has
    done nothing, and the same may be sent again.
    """

    @wraps(view)
    def guarded(request: TeacherRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        if answer := answer_again(request):
            return answer
        if request.method != "POST":
            return view(request, *args, **kwargs)
        with transaction.atomic():
            sent, is_new = sent_form(request)
            if sent is None:
                return view(request, *args, **kwargs)
            if not is_new:
                return _as_before(request, sent)
            return _kept(request, sent, view(request, *args, **kwargs))

    return guarded


def sent_form(request: TeacherRequest) -> tuple[SentForm | None, bool]:
    """Return what is kept of this form, and whether it comes for the first time.

    Within a transaction: of two at once one waits for the other. None without a token.
    """
    digest = _digest(request)
    if not digest:
        return None, True
    return SentForm.objects.get_or_create(
        digest=digest, defaults={"teacher": cast(Teacher, request.user)}
    )


def answer_again(request: TeacherRequest) -> HttpResponse | None:
    """Return the answer of the first click, where this is the second one."""
    digest = _digest(request)
    sent = SentForm.objects.filter(digest=digest).first() if digest else None
    return _as_before(request, sent) if sent else None


def forget_old() -> None:
    """Delete what is older than a second click could be."""
    SentForm.objects.filter(sent_at__lt=timezone.now() - SENT_FORM_REMEMBERED_FOR).delete()


def _digest(request: TeacherRequest) -> str:
    """Return the key of what was sent; "" where it is no form of a page."""
    if request.method != "POST" or not request.POST.get(TOKEN):
        return ""
    fields = [[name, *values] for name, values in sorted(request.POST.lists())]
    files = [
        [name, sent.name, sent.size, _hash_of(sent)]
        for name, all_of in sorted(request.FILES.lists())
        for sent in all_of
    ]
    content = repr([request.user.pk, request.path, fields, files])
    return hashlib.sha256(content.encode(errors="surrogatepass")).hexdigest()


def _hash_of(sent: UploadedFile) -> str:
    """Of its content: who goes back may send a file of the same name that was put right."""
    sent.seek(0)
    content = hashlib.file_digest(sent, "sha256").hexdigest()
    sent.seek(0)
    return content


def _kept(request: TeacherRequest, sent: SentForm, response: HttpResponseBase) -> HttpResponseBase:
    if response.status_code != 302:
        sent.delete()
        return response
    sent.address = response["Location"]
    sent.said = list(_said(request))
    sent.save(update_fields=["address", "said"])
    return response


def _as_before(request: TeacherRequest, sent: SentForm) -> HttpResponse:
    said = list(_said(request))
    for level, text, tags in sent.said:
        if [level, text, tags] not in said:
            messages.add_message(request, level, text, extra_tags=tags)
    return redirect(sent.address)


def _said(request: TeacherRequest) -> Iterator[list[Any]]:
    """Yield the messages that wait; they go on waiting."""
    waiting = get_messages(request)
    for message in waiting:
        yield [message.level, str(message.message), message.extra_tags]
    waiting.used = False  # type: ignore[union-attr]
