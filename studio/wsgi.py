"""The entry point for web servers, such as gunicorn (studio/deployment)."""

import os
from collections.abc import Callable, Iterable
from typing import Any

from django.core.wsgi import get_wsgi_application
from django.urls import get_resolver

from studio.plain_requests import readable

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "studio.settings")

_site = get_wsgi_application()
# All pages are read before anybody asks for the first one.
_ = get_resolver().url_patterns


def application(environ: dict[str, Any], start_response: Callable) -> Iterable[bytes]:
    return _site(readable(environ), start_response)
