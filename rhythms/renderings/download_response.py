"""Files that the worker makes, handed to who asked: at once, or by a page that waits for them.

The page asks again by a ticket: it names the file and for whom it is, and is signed, so that
nothing has to be worked out anew each time, and nobody can write one of their own.
"""

import re
from pathlib import PurePath
from typing import IO, Any, NamedTuple

from django.core import signing
from django.db.models import Q
from django.http import FileResponse, Http404, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.utils.http import content_disposition_header

from rhythms.models import Rendering
from rhythms.models.rendering import FileOwner
from rhythms.renderings.job_progress import get_progress
from rhythms.renderings.rendering_store import WantedFile, file_rendering, is_made, opened
from studio.accounts.throttling import FilesByStudent, FilesByTeacher, minutes_to_wait
from studio.models import Student, Studio
from studio.request_types import Request

#: Without a time stamp: the same file for the same person has the same address.
_SIGNER = signing.Signer(salt="rhythms.handing_out")
#: Shown by the browser, which can print them; other files are saved.
_SHOWN = (".pdf",)
#: What some system does not allow in the name of a file.
_NOT_IN_A_NAME = re.compile(r'[\\/:*?"<>|\x00-\x1f\x7f]+')


def file_name(words: object, ending: str) -> str:
    """A name that every system can keep: `file_name("Line 4, fill 1", "mid")`."""
    return f"{_NOT_IN_A_NAME.sub(' ', str(words)).strip(' .') or 'file'}.{ending}"


class Ticket(NamedTuple):
    """A file of this name; for a studio's teachers, and a student where it is theirs."""

    key: str
    name: str
    studio: int
    student: int | None

    def __str__(self) -> str:
        return _SIGNER.sign_object(list(self), compress=True)

    def is_for(self, request: Request) -> bool:
        """Whether who asks may have the file."""
        if request.student:
            return request.student.pk == self.student
        return request.studio is not None and request.studio.pk == self.studio


def ticket_of(rendering: Rendering, name: str, whose: Student | Studio) -> Ticket:
    """`whose`: whom it was made for."""
    return Ticket(rendering.key, name, *FileOwner.of(whose))


def ticket_in(request: Request, text: str) -> Ticket:
    """Read a ticket. Raises Http404 where it was not written here, or for somebody else."""
    try:
        ticket = Ticket(*_SIGNER.unsign_object(text))
    except signing.BadSignature as error:
        raise Http404 from error
    if not ticket.is_for(request):
        raise Http404
    return ticket


def rendering_of(ticket: Ticket) -> Rendering:
    """The rendering that the ticket names, made for whom the ticket was written.

    Raises Http404 where it is gone meanwhile. Files that older code made have no owner yet.
    """
    owners = Q(studio=None) | Q(studio=ticket.studio, student=ticket.student)
    return get_object_or_404(Rendering.objects.filter(owners), pk=ticket.key)


def hand_out(
    request: Request, wanted: WantedFile, name: str, whose: Student | Studio, back: str = ""
) -> HttpResponseBase:
    """The file where it is made, or else the page that waits for it, with a way `back`.

    Whoever had many made just now is told when the next one can be.
    """
    owner = FileOwner.of(whose)
    if not is_made(wanted, owner) and (minutes := minutes_to_next(request)):
        return ask_later(request, minutes, name, back)
    try:
        rendering = file_rendering(wanted, owner)
    except Rendering.DoesNotExist as error:
        raise Http404 from error
    file = opened(rendering)
    if file is not None:
        return sent(file, name)
    return wait(request, rendering, ticket_of(rendering, name, whose), back)


def minutes_to_next(request: Request) -> int:
    """Count a file that is to be made; 0 where it may be, else the minutes until it may."""
    return minutes_to_wait(request, FilesByStudent, FilesByTeacher)


def saved(content: bytes, name: str, media_type: str) -> HttpResponse:
    """Content that is there, to be saved under this name."""
    disposition = content_disposition_header(True, name)
    headers = {"Content-Disposition": disposition} if disposition else {}
    return HttpResponse(content, content_type=media_type, headers=headers)


def sent(file: IO[bytes], name: str) -> FileResponse:
    """The open file under the name it is saved as."""
    return FileResponse(file, as_attachment=PurePath(name).suffix not in _SHOWN, filename=name)


def ask_later(request: Request, minutes: int, name: str, back: str = "") -> HttpResponse:
    """When the next file can be made: the whole page, or to htmx the part that changes."""
    page = {"minutes": minutes, "name": name, "back": back}
    part = "too_many_files" if request.htmx else "too_many_files_page"
    answer = render(request, f"rhythms/renderings/{part}.html", page, status=429)
    answer["Retry-After"] = str(minutes * 60)
    return answer


def wait(request: Request, rendering: Rendering, ticket: Ticket, back: str = "") -> HttpResponse:
    """How it stands with the file: the whole page, or to htmx the part that changes."""
    page: dict[str, Any] = {
        "rendering": rendering,
        "progress": get_progress(rendering.key),
        "ticket": str(ticket),
        "name": ticket.name,
        "back": back,
    }
    template = (
        "rhythms/renderings/file_state.html"
        if request.htmx
        else "rhythms/renderings/file_wait.html"
    )
    return render(request, template, page)
