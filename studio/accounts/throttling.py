"""How often one may try: guessing a password must take years, counting leave time for others.

The REST framework's sliding windows do the counting; the rates are in the settings.
"""

import hashlib
from typing import TYPE_CHECKING, cast

from django.http import HttpRequest
from rest_framework.request import Request
from rest_framework.throttling import SimpleRateThrottle

from studio.request_types import Request as PersonRequest

if TYPE_CHECKING:
    from rest_framework.views import APIView


class ByAddress(SimpleRateThrottle):
    """Tries from one network address, whatever they are about."""

    def get_cache_key(self, request: Request, view: object) -> str:
        return self.cache_format % {"scope": self.scope, "ident": self.get_ident(request)}


class SignUpsByAddress(ByAddress):
    scope = "sign-up"


class ForgottenByAddress(ByAddress):
    scope = "forgotten"


class SignInsByAddress(ByAddress):
    scope = "sign-in-address"


class SignInsByAccount(SimpleRateThrottle):
    """Tries at one account from one address, so that strangers cannot lock a teacher out."""

    scope = "sign-in-account"

    def get_cache_key(self, request: Request, view: object) -> str:
        account = request.POST.get("username", "").strip().lower()
        both = hashlib.sha256(f"{account} {self.get_ident(request)}".encode()).hexdigest()
        return self.cache_format % {"scope": self.scope, "ident": both}


class ByPerson(SimpleRateThrottle):
    """What a signed-in person asks for, on whatever device."""

    def get_cache_key(self, request: Request, view: object) -> str | None:
        who = self.pk_of(cast(PersonRequest, request))
        return self.cache_format % {"scope": self.scope, "ident": who} if who else None

    def pk_of(self, request: PersonRequest) -> int | None:
        """Return whom this counts; None for those whom it does not count."""
        raise NotImplementedError


class FilesByStudent(ByPerson):
    scope = "files-student"

    def pk_of(self, request: PersonRequest) -> int | None:
        return request.student.pk if request.student else None


class FilesByTeacher(ByPerson):
    scope = "files-teacher"

    def pk_of(self, request: PersonRequest) -> int | None:
        return request.user.pk if request.studio else None


class CountsByPerson(ByPerson):
    """Counts of fills: each may take the server a second."""

    scope = "counts"

    def pk_of(self, request: PersonRequest) -> int | None:
        return request.user.pk


def minutes_to_wait(request: HttpRequest, *throttles: type[SimpleRateThrottle]) -> int:
    """Count this try; return 0 where it is allowed, else the minutes until the next one may be."""
    # The throttles read the address and the form, which a plain request has as well.
    plain = cast(Request, request)
    for throttle in [kind() for kind in throttles]:
        if not throttle.allow_request(plain, cast("APIView", None)):
            return int((throttle.wait() or 0) // 60) + 1
    return 0
