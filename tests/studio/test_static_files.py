"""Static files as a deployment serves them."""

import json

from django.core.management import call_command


def test_what_the_pages_use_is_collected_under_names_that_change_with_it(settings, tmp_path):
    settings.STATIC_ROOT = tmp_path
    settings.STORAGES = settings.STORAGES | {
        "staticfiles": {"BACKEND": "studio.static_files.HashedStaticFiles"}
    }
    call_command("collectstatic", interactive=False, verbosity=0)
    names = json.loads((tmp_path / "staticfiles.json").read_text())["paths"]
    ours = ("css/tokens.css", "js/site/look.js", "img/favicon.svg")
    for name in (*ours, "django_htmx/htmx-2.min.js"):
        assert names[name] != name
        assert (tmp_path / names[name]).exists()
