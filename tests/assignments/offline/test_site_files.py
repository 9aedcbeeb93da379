"""What a student's device is told to keep, and how it asks for it."""

import json
import struct
from pathlib import Path
from urllib.parse import urlparse

import pytest
from django.conf import settings
from django.contrib.staticfiles import finders
from django.core.management import call_command
from django.templatetags.static import static
from django.urls import reverse

from assignments.days import today_in
from assignments.offline import site_files
from assignments.practice.practice_log import mark_mastered
from studio.icon_images import ICONS, icon_png
from tests.assignments.making import give

pytestmark = pytest.mark.django_db
DEVICE = reverse("assignments:api-device")
WORKER = reverse("assignments:service-worker")
MANIFEST = reverse("assignments:manifest")
AS_A_COPY = {"HTTP_X_OFFLINE_COPY": "1"}


def kept_by_the_worker(client) -> dict:
    """What the worker's script is given, out of its first line."""
    line = client.get(WORKER).content.decode().partition("\n")[0]
    return json.loads(line.removeprefix("self.FILLWRIGHT = ").removesuffix(";"))


def kept_of(fill) -> list[str]:
    """The addresses of a fill that a device keeps: its page, its block, and what "Hear" plays."""
    names = ("fill", "fill-block", "heard")
    return [reverse(f"assignments:{name}", args=[fill.pk]) for name in names]


def size_of_png(data: bytes) -> tuple[int, int]:
    """Width and height, at their place in the header (ISO/IEC 15948, 11.2.2)."""
    assert data.startswith(b"\x89PNG\r\n\x1a\n")
    return struct.unpack(">II", data[16:24])


class TestManifest:
    def test_opens_today_by_itself(self, client):
        manifest = client.get(MANIFEST)
        assert manifest["Content-Type"] == "application/manifest+json"
        assert manifest.json()["start_url"] == reverse("assignments:today")
        assert manifest.json()["display"] == "standalone"

    def test_has_the_icons_that_browsers_ask_for_before_they_install(self, client):
        """192 and 512 pixels: https://web.dev/articles/install-criteria (Chromium)."""
        icons = client.get(MANIFEST).json()["icons"]
        assert {"192x192", "512x512"} <= {icon["sizes"] for icon in icons}

    def test_its_bitmaps_have_the_sizes_that_it_says(self, client):
        for icon in client.get(MANIFEST).json()["icons"]:
            if icon["type"] != "image/png":
                continue
            name = urlparse(icon["src"]).path.removeprefix(static(""))
            width, height = size_of_png(Path(finders.find(name)).read_bytes())
            assert icon["sizes"] == f"{width}x{height}"

    def test_students_pages_name_it(self, student_client):
        page = student_client.get(reverse("assignments:today")).content.decode()
        assert f'<link rel="manifest" href="{MANIFEST}">' in page

    def test_teachers_pages_do_not(self, teacher_client):
        page = teacher_client.get(reverse("assignments:roster")).content.decode()
        assert "webmanifest" not in page
        assert "js/offline" not in page


@pytest.mark.parametrize("name", ICONS)
def test_an_icon_is_as_the_command_draws_it(name):
    pixels, full_bleed = ICONS[name]
    kept = Path(settings.BASE_DIR) / "static" / "img" / name
    assert kept.read_bytes() == icon_png(pixels, full_bleed=full_bleed)


class TestWorker:
    def test_is_asked_for_anew_each_time(self, client):
        response = client.get(WORKER)
        assert response["Content-Type"].startswith("text/javascript")
        assert "no-cache" in response["Cache-Control"]

    def test_keeps_files_that_exist(self, client):
        files = kept_by_the_worker(client)["files"]
        assert static("css/base.css") in files
        for address in files:
            assert finders.find(address.removeprefix(static(""))), address

    def test_keeps_whatever_a_students_page_loads(self, student_client, variation):
        files = kept_by_the_worker(student_client)["files"]
        pages = [*site_files.pages_often(), reverse("assignments:fill", args=[variation.pk])]
        for page in pages:
            html = student_client.get(page).content.decode()
            loaded = [part.partition('"')[0] for part in html.split(f'"{static("")}')[1:]]
            assert loaded
            assert {static(name) for name in loaded} <= set(files)

    def test_does_not_keep_its_own_script(self, client):
        assert static(site_files.WORKER) not in kept_by_the_worker(client)["files"]

    def test_is_another_version_once_any_file_changes(self, settings, tmp_path):
        settings.DEBUG = True  # where files may change while we run
        settings.STATICFILES_DIRS = [tmp_path]
        (tmp_path / "page.js").write_text("1")
        first = site_files.site_files()
        (tmp_path / "page.js").write_text("2")
        second = site_files.site_files()
        assert first.addresses == second.addresses
        assert first.version != second.version

    def test_keeps_files_under_the_names_that_a_deployment_gives_them(self, settings, tmp_path):
        settings.STATIC_ROOT = tmp_path
        settings.STORAGES = settings.STORAGES | {
            "staticfiles": {"BACKEND": "studio.static_files.HashedStaticFiles"}
        }
        call_command("collectstatic", interactive=False, verbosity=0)
        site_files._files_read_once.cache_clear()
        addresses = site_files.site_files().addresses
        site_files._files_read_once.cache_clear()
        assert "/static/css/base.css" not in addresses
        for address in addresses:
            assert (tmp_path / address.removeprefix("/static/")).exists()


class TestDevice:
    def test_gets_who_is_signed_in_and_what_day_it_is(self, student_client, student):
        answer = student_client.get(DEVICE).json()
        assert answer["student"] == student.pk
        assert answer["day"] == today_in(student.studio).isoformat()

    def test_keeps_the_pages_of_the_fills(self, student_client, assignment):
        answer = student_client.get(DEVICE).json()
        own = [address for fill in assignment.variations.all() for address in kept_of(fill)]
        assert sorted(answer["fills"]) == sorted(own)

    def test_keeps_the_pages_of_no_more_fills_than_a_device_has_room_for(
        self, student_client, student, monkeypatch
    ):
        monkeypatch.setattr("assignments.offline.site_files.MOST_FILLS", 2)
        mastered, first, second = give(student, 3).variations.order_by("position")
        mark_mastered(mastered)
        assert student_client.get(DEVICE).json()["fills"] == [
            address for fill in (first, second) for address in kept_of(fill)
        ]

    def test_keeps_nothing_of_a_classmate(self, classmate_client, assignment):
        assert classmate_client.get(DEVICE).json()["fills"] == []

    def test_can_open_whatever_it_is_to_keep(self, student_client, assignment):
        answer = student_client.get(DEVICE).json()
        for address in [*answer["often"], *answer["fills"]]:
            assert student_client.get(address).status_code == 200

    def test_gets_the_cookie_that_lets_it_send(self, student_client):
        student_client.cookies.pop("csrftoken", None)
        assert student_client.get(DEVICE).cookies["csrftoken"].value

    def test_is_not_answered_out_of_a_cache(self, student_client):
        assert "no-store" in student_client.get(DEVICE)["Cache-Control"]

    def test_asks_as_often_for_many_fills_as_for_few(
        self, student_client, student, django_assert_num_queries
    ):
        give(student, 20)
        # Session, link with student and studio; fills.
        with django_assert_num_queries(3):
            student_client.get(DEVICE)


def test_the_page_without_a_network_asks_nobody_to_sign_in_whom_it_does_not_know(client):
    page = client.get(reverse("assignments:offline")).content.decode()
    assert reverse("studio:sign-in") not in page


class TestCopies:
    def test_leave_messages_to_who_looks_at_the_page(self, student_client, variation):
        student_client.post(reverse("assignments:master", args=[variation.pk]))
        page = reverse("assignments:fill", args=[variation.pk])
        copy = student_client.get(page, **AS_A_COPY).content.decode()
        assert "Mastered:" not in copy
        assert "Mastered:" in student_client.get(page).content.decode()
