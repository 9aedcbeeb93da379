"""Sheets and files by their addresses: asked for, waited for, opened."""

import io
import re
from collections.abc import Mapping
from typing import NamedTuple

import mido
import pypdfium2
import pytest
from django.core.files.storage import default_storage
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone
from lxml import etree

from assignments.blocks import block_of
from rhythms.models import Rendering
from rhythms.notation import block_midi, midi, musicxml, musicxml_of_all
from rhythms.renderings import job_progress, rendering_maker
from rhythms.renderings.download_response import ticket_of
from tests.assignments.making import first_fill, give
from tests.assignments.pages import address

pytestmark = pytest.mark.django_db
QUERY = "?paper=a4&counts=on"


def content(response) -> bytes:
    """All of it: a file that is sent is closed by reading to its end."""
    return b"".join(response.streaming_content) if response.streaming else response.content


class Fetched(NamedTuple):
    headers: Mapping[str, str]
    body: bytes


@pytest.fixture
def fetched(django_capture_on_commit_callbacks):
    """What an address gives once the worker has made it; outside tests, commits are real."""

    def fetch(client, url: str) -> Fetched:
        with django_capture_on_commit_callbacks(execute=True):
            content(client.get(url))
        response = client.get(url)
        return Fetched(response.headers, content(response))

    return fetch


class TestAskingForASheet:
    @pytest.mark.parametrize("client_name", ["teacher_client", "student_client"])
    def test_teacher_and_student_choose_paper_and_counts(self, client_name, assignment, request):
        client = request.getfixturevalue(client_name)
        html = client.get(address("assignment-sheet", assignment)).content.decode()
        assert f'action="{address("assignment-pdf", assignment)}"' in html
        assert {"A4", "Letter"} <= set(re.findall(r"(A4|Letter)</label>", html))

    @pytest.mark.parametrize(
        ("zone", "paper"),
        [
            ("Europe/Berlin", "a4"),
            ("America/Chicago", "us-letter"),
            ("America/Argentina/Salta", "a4"),
            ("Asia/Tokyo", "a4"),
        ],
    )
    def test_the_paper_usual_there_is_chosen_already(self, teacher_client, assignment, zone, paper):
        assignment.studio.timezone = zone
        assignment.studio.save()
        html = teacher_client.get(address("assignment-sheet", assignment)).content.decode()
        chosen = re.search(r'value="([\w-]+)"[^>]*checked', html)
        assert chosen[1] == paper

    @pytest.mark.parametrize(
        ("query", "words"),
        [("?paper=papyrus", "Choose A4 or Letter."), ("", "Choose the paper.")],
    )
    def test_an_unknown_paper_has_an_error_beside_the_field(
        self, teacher_client, assignment, query, words
    ):
        response = teacher_client.get(address("assignment-pdf", assignment) + query)
        assert response.status_code == 422
        assert words in response.content.decode()

    @pytest.mark.parametrize(
        ("query", "words"),
        [
            ("&first_day=soon&how_many=3", "Give the day as year-month-day"),
            ("&first_day=2026-11-25&how_many=0", "Give a whole number from 1 to 24."),
            ("&first_day=2026-11-25&how_many=lots", "Give a whole number from 1 to 24."),
        ],
    )
    def test_a_week_that_cannot_be_is_refused_in_words(self, student_client, query, words):
        response = student_client.get(address("my-week-pdf") + "?paper=a4" + query)
        assert response.status_code == 422
        assert words in response.content.decode()

    def test_what_was_typed_is_kept(self, student_client):
        query = "?paper=us-letter&counts=on&first_day=soon&how_many=7"
        html = student_client.get(address("my-week-pdf") + query).content.decode()
        assert 'value="soon"' in html
        assert 'value="7"' in html


class TestASheet:
    def test_is_left_to_the_browsers_own_viewer(self, teacher_client, assignment, fetched):
        headers = fetched(teacher_client, address("assignment-pdf", assignment) + QUERY).headers
        assert "Content-Security-Policy" not in headers

    def test_is_a_pdf_with_every_fill(self, teacher_client, assignment, fetched):
        response = fetched(teacher_client, address("assignment-pdf", assignment) + QUERY)
        assert response.headers["Content-Type"] == "application/pdf"
        page = pypdfium2.PdfDocument(response.body)[0].get_textpage().get_text_range()
        assert all(str(fill) in page for fill in assignment.variations.all())
        assert "For Mira, right-handed." in page

    def test_opens_in_the_browser_under_a_name_to_save_it_by(
        self, teacher_client, assignment, fetched
    ):
        response = fetched(teacher_client, address("assignment-pdf", assignment) + QUERY)
        assert (
            response.headers["Content-Disposition"] == 'inline; filename="Line 4, Eighths stay.pdf"'
        )

    def test_of_a_week_comes_to_teacher_and_student_alike(
        self, teacher_client, student_client, assignment, fetched
    ):
        query = "?paper=a4&first_day=2026-11-25&how_many=12"
        mine = fetched(student_client, address("my-week-pdf") + query).body
        url = address("student-week-pdf", assignment.student)
        assert content(teacher_client.get(url + query)) == mine
        assert Rendering.objects.filter(format="pdf").count() == 1

    def test_of_one_fill_needs_no_choice(self, student_client, variation, fetched):
        response = fetched(student_client, address("variation-pdf", variation))
        assert response.body.startswith(b"%PDF-")

    def test_that_nobody_asked_for_again_is_swept_out_after_a_week(
        self, teacher_client, assignment, fetched, django_capture_on_commit_callbacks
    ):
        fetched(teacher_client, address("assignment-pdf", assignment) + QUERY)
        sheet = Rendering.objects.get(format="pdf")
        assert rendering_maker.discard_outlived() == 0
        Rendering.objects.filter(pk=sheet.pk).update(asked_at="2020-01-01T00:00:00Z")
        with django_capture_on_commit_callbacks(execute=True):
            assert rendering_maker.discard_outlived() == 1
        assert not default_storage.exists(sheet.file.name)
        assert set(Rendering.objects.values_list("format", flat=True)) == {"svg"}

    def test_whose_file_is_lost_is_made_again(self, teacher_client, assignment, fetched):
        url = address("assignment-pdf", assignment) + QUERY
        before = fetched(teacher_client, url).body
        default_storage.delete(Rendering.objects.get(format="pdf").file.name)
        assert fetched(teacher_client, url).body == before


class TestWaiting:
    @pytest.fixture
    def waiting_page(self, teacher_client, assignment):
        """The page that waits: in a test nothing is committed, so nothing is made yet."""
        url = address("assignment-pdf", assignment) + QUERY
        return teacher_client.get(url).content.decode()

    @pytest.fixture
    def state(self, waiting_page):
        return re.search(r'hx-get="([^"]+)"', waiting_page)[1]

    @pytest.fixture
    def waiting(self, waiting_page):
        return Rendering.objects.get(format="pdf")

    def ask(self, client, state):
        return client.get(state, headers={"HX-Request": "true"}).content.decode()

    def test_the_page_looks_again_by_itself(self, waiting_page):
        assert 'hx-trigger="load delay:400ms, every 5s"' in waiting_page
        assert "Waiting for its turn" in waiting_page

    def test_the_bar_says_how_many_fills_are_engraved(self, teacher_client, state, waiting):
        job_progress.set_progress(waiting.key, 2, 3)
        html = self.ask(teacher_client, state)
        assert "fill 2 of 3" in html
        assert '<progress id="file-progress" value="2" max="3">' in html

    def test_the_worker_tells_how_far_it_is(self, waiting):
        """Three fills, and the groove before them."""
        rendering_maker.make(waiting.key)
        assert job_progress.get_progress(waiting.key) == (4, 4)

    def test_once_it_is_made_it_can_be_opened(self, teacher_client, state, waiting):
        rendering_maker.make(waiting.key)
        link = re.search(r'href="([^"]+)">Open the PDF', self.ask(teacher_client, state))[1]
        assert content(teacher_client.get(link)).startswith(b"%PDF-")

    def test_one_that_failed_says_why_and_can_be_tried_again(
        self, teacher_client, state, waiting, monkeypatch
    ):
        with monkeypatch.context() as broken:
            broken.setattr(rendering_maker, "draw", lambda _: 1 / 0)
            rendering_maker.make(waiting.key)
        html = self.ask(teacher_client, state)
        assert "This file could not be made." in html
        assert f'hx-post="{state}"' in html
        assert "Waiting for its turn" in teacher_client.post(state).content.decode()

    def test_a_ticket_is_nobody_elses(self, state, classmate_client, other_teacher_client):
        for client in (classmate_client, other_teacher_client):
            assert client.get(state).status_code == 404

    def test_a_students_ticket_serves_their_teacher_too(self, state, student_client):
        assert student_client.get(state).status_code == 200

    def test_a_ticket_stays_the_same_so_that_its_address_can_be_kept(
        self, waiting, student, monkeypatch
    ):
        tickets = set()
        for now in (0, 1_000_000):
            monkeypatch.setattr("time.time", lambda now=now: now)
            tickets.add(str(ticket_of(waiting, "Line 4.pdf", student)))
        assert len(tickets) == 1

    def test_a_ticket_that_somebody_wrote_is_none(self, state, teacher_client):
        forged = state.replace("/files/", "/files/x")
        assert teacher_client.get(forged).status_code == 404

    def test_a_ticket_for_what_was_swept_out_finds_nothing(self, state, teacher_client, waiting):
        waiting.delete()
        assert teacher_client.get(state).status_code == 404


@pytest.mark.django_db(transaction=True)
def test_without_a_broker_the_sheet_comes_at_once(teacher_client, assignment):
    response = teacher_client.get(address("assignment-pdf", assignment) + QUERY)
    assert content(response).startswith(b"%PDF-")


class TestFiles:
    def saved(self, client, name: str, *parts) -> bytes:
        response = client.get(address(name, *parts))
        assert response.headers["Content-Disposition"].startswith("attachment; ")
        return content(response)

    def test_musicxml_is_that_of_the_fill_the_page_shows(self, student_client, variation):
        file = self.saved(student_client, "variation-file", variation, "musicxml")
        assert file.decode() == musicxml(variation.rendering.fill)

    def test_compressed_musicxml_is_a_zip_file(self, student_client, variation):
        file = self.saved(student_client, "variation-file", variation, "mxl")
        assert file.startswith(b"PK\x03\x04")

    def test_midi_is_at_the_tempo_of_the_assignment(self, teacher_client, variation):
        file = self.saved(teacher_client, "variation-file", variation, "mid")
        assert file == midi(variation.rendering.fill, 80)

    def test_a_picture_has_the_fill_in_notation(self, teacher_client, variation):
        file = self.saved(teacher_client, "variation-file", variation, "svg")
        assert etree.fromstring(file).tag == "{http://www.w3.org/2000/svg}svg"

    def test_the_block_is_groove_fill_and_landing(self, student_client, variation):
        file = self.saved(student_client, "block-midi", variation)
        assert file == block_midi(block_of(variation), 80)
        # Four bars of 4/4 and the beat of the landing, at 80.
        assert mido.MidiFile(file=io.BytesIO(file)).length == pytest.approx(17 * 60 / 80)

    def test_the_audio_file_lasts_as_long_as_the_block(self, student_client, student, fetched):
        """MP3 frames of MPEG-1 layer III hold 1,152 samples (ISO/IEC 11172-3)."""
        variation = first_fill(give(student, 1, tempo=240))
        response = fetched(student_client, address("block-audio", variation))
        assert response.headers["Content-Type"] == "audio/mpeg"
        seconds = mp3_seconds(response.body)
        block = 4 * 4 * 60 / 240
        assert block < seconds < block + 8

    def test_all_fills_of_an_assignment_are_a_measure_each_of_one_file(
        self, teacher_client, student
    ):
        assignment = give(student, 3)
        file = self.saved(teacher_client, "assignment-file", assignment, "musicxml")
        fills = {str(fill): fill.rendering.fill for fill in assignment.variations.all()}
        assert file.decode() == musicxml_of_all(fills, str(assignment))
        assert len(etree.fromstring(file).findall("part/measure")) == 3
        packed = self.saved(teacher_client, "assignment-file", assignment, "mxl")
        assert packed.startswith(b"PK\x03\x04")
        assert address("assignment-file", assignment, "mxl") in page_of(teacher_client, assignment)

    def test_one_fill_has_no_file_of_all(self, teacher_client, student):
        assert "All in one file" not in page_of(teacher_client, give(student, 1))

    def test_without_fills_there_is_no_file_of_all(self, teacher_client, assignment):
        assignment.variations.update(removed_at=timezone.now())
        file = address("assignment-file", assignment, "musicxml")
        assert teacher_client.get(file).status_code == 404

    def test_an_unknown_kind_of_all_is_not_found(self, teacher_client, assignment):
        file = address("assignment-file", assignment, "mid")
        assert teacher_client.get(file).status_code == 404

    def test_an_unknown_kind_is_not_found(self, student_client, variation):
        assert student_client.get(address("variation-file", variation, "exe")).status_code == 404

    def test_a_bar_of_any_name_makes_a_name_for_a_file(self, student_client, variation):
        variation.assignment.bar_name = 'a/b\\c: "d"?\n\x1fé'
        variation.assignment.save()
        response = student_client.get(address("variation-file", variation, "mid"))
        assert response.status_code == 200
        name = response.headers["Content-Disposition"]
        assert not set(name) & set("/\\?\n\x1f")

    @pytest.mark.parametrize("client_name", ["teacher_client", "student_client"])
    def test_the_page_has_a_link_to_every_file(self, client_name, variation, request):
        page = {
            "teacher_client": address("assignment-files", variation.assignment),
            "student_client": address("fill-files", variation),
        }[client_name]
        client = request.getfixturevalue(client_name)
        html = client.get(page).content.decode()
        for ending in ("musicxml", "mxl", "mid", "svg"):
            assert f'href="{address("variation-file", variation, ending)}"' in html
        for name in ("variation-pdf", "block-midi", "block-audio"):
            assert f'href="{address(name, variation)}"' in html

    def test_the_list_takes_as_many_queries_for_many_fills_as_for_one(
        self, teacher_client, student
    ):
        counts = []
        for n in (1, 6):
            page = address("assignment-files", give(student, n, seed=n))
            with CaptureQueriesContext(connection) as queries:
                teacher_client.get(page)
            counts.append(len(queries))
        assert counts[0] == counts[1]


def page_of(client, assignment) -> str:
    return client.get(address("assignment-files", assignment)).content.decode()


def mp3_seconds(file: bytes) -> float:
    """Count the frames by their headers."""
    rates = (0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320)
    at, seconds = 0, 0.0
    while at + 4 <= len(file):
        assert file[at] == 0xFF, "a frame begins with its sync word"
        assert file[at + 1] & 0xFE == 0xFA, "MPEG-1 layer III"
        sampling = (44_100, 48_000, 32_000)[file[at + 2] >> 2 & 3]
        padding = file[at + 2] >> 1 & 1
        at += 144_000 * rates[file[at + 2] >> 4] // sampling + padding
        seconds += 1152 / sampling
    return seconds
