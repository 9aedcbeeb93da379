"""The entry point for web servers, such as gunicorn (studio/deployment)."""

import os
from collections.abc import Callable, Iterable
from typing import Any

from django.core.wsgi import get_wsgi_application

from studio.plain_requests import readable

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "studio.settings")

_site = get_wsgi_application()


def application(environ: dict[str, Any], start_response: Callable) -> Iterable[bytes]:
    return _site(readable(environ), start_response)
