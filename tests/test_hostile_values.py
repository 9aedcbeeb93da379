"""Values that no page of ours sends: each gets a clear answer, none breaks a page."""

import json
import re
import uuid
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client, RequestFactory
from django.urls import reverse

from assignments.days import today_in
from studio.forms import LARGEST_ID, number_in
from studio.wsgi import application

pytestmark = pytest.mark.django_db

DIGITS = "9" * 5000
ENTRIES = reverse("assignments:api-practice-entries")
JSON = "application/json"
#: A key of an octal escape, as cookies may have: the database of a session never sees it.
NUL_IN_COOKIE = '"\\000aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa"'


@pytest.fixture
def entry_sent(variation, studio) -> dict:
    return {
        "id": str(uuid.uuid4()),
        "variation": variation.pk,
        "day": today_in(studio).isoformat(),
        "minutes": 5,
    }


@pytest.fixture
def post_json(student_client):
    return lambda data: student_client.post(ENTRIES, data, content_type=JSON)


def refusal(response) -> str:
    """What the one who sent it is told; it was refused as a bad request."""
    assert response.status_code == 400
    return str(response.json()["detail"])


class TestNumbersInText:
    @pytest.mark.parametrize("text", ["", "x", "-1", "1.5", "²", "٣", "1\0", DIGITS, str(2**63)])
    def test_what_is_no_id_is_none(self, text):
        assert number_in(text) is None

    @pytest.mark.parametrize("number", [0, 7, LARGEST_ID])
    def test_an_id_is_read(self, number):
        assert number_in(str(number)) == number

    @pytest.mark.parametrize("asked", [{"bar": DIGITS}, {"kit": f"{DIGITS}-left"}])
    def test_an_impossible_bar_or_kit_of_a_rule_set_is_not_there(
        self, teacher_client, rule_set, asked
    ):
        address = reverse("rhythms:rule-set", args=[rule_set.pk])
        assert teacher_client.get(address, asked).status_code == 404

    @pytest.mark.parametrize("page", ["record", "take-upload"])
    def test_an_impossible_fill_to_record_is_none(self, student_client, page):
        address = reverse(f"assignments:{page}")
        assert student_client.get(address, {"fill": DIGITS}).status_code == 200

    def test_an_impossible_fill_of_a_lesson_is_none(self, teacher_client, student):
        address = reverse("assignments:lesson-take", args=[student.pk])
        assert teacher_client.get(address, {"fill": DIGITS}).status_code == 200

    def test_an_impossible_key_of_a_kit_is_no_field(self, student_client):
        data, form = f"key-{DIGITS}=snare", "application/x-www-form-urlencoded"
        answer = student_client.post(reverse("assignments:kit-map"), data, content_type=form)
        assert answer.status_code == 302

    @pytest.mark.parametrize("pk", [str(2**63), f"-{DIGITS}", "x\0"])
    def test_an_impossible_id_in_a_list_is_refused_beside_it(
        self, teacher_client, bar, rule_set, pk
    ):
        data = {"bar": bar.pk, "rule_set": rule_set.pk, "students": [pk], "tempo": "80"}
        answer = teacher_client.post(reverse("assignments:draw"), data)
        assert answer.status_code == 200
        assert answer.context["form"].errors.as_data()["students"][0].code == "invalid_pk_value"

    def test_no_view_or_form_reads_numbers_otherwise(self):
        """So that new pages read ids by `number_in` too."""
        root = Path(__file__).resolve().parent.parent
        readers = [
            path.relative_to(root).as_posix()
            for app in ("studio", "rhythms", "assignments")
            for path in (root / app).rglob("*.py")
            if path.name in {"views.py", "forms.py", "api.py"} or "assigning" in path.parts
            if re.search(r"\.is(decimal|digit|numeric)\(", path.read_text())
        ]
        assert readers == ["studio/forms.py"]


class TestJson:
    def test_deep_nesting_is_refused(self, post_json):
        assert "nested" in refusal(post_json("[" * 50_000 + "]" * 50_000))

    def test_nesting_a_little_too_deep_is_refused(self, post_json):
        assert "nested" in refusal(post_json("[" * 33 + "]" * 33))

    @pytest.mark.parametrize("text", [r'"\ud800"', r'"a\u0000b"', r'{"\udfff": 1}', '"\\u0000"'])
    def test_a_character_that_no_text_has_is_refused_with_its_place(self, post_json, text):
        assert "at sent[1]" in refusal(post_json(f'{{"sent": [0, {text}]}}'))

    def test_the_pair_of_surrogates_of_a_real_character_is_taken(self, post_json, entry_sent):
        answer = post_json(json.dumps(entry_sent | {"note": "🥁"}))
        assert (answer.status_code, answer.json()["note"]) == (201, "🥁")

    @pytest.mark.parametrize("number", ["1e999", "-1e999", "9" * 400, "NaN", DIGITS])
    def test_a_number_that_no_field_holds_is_refused(self, post_json, number):
        assert refusal(post_json(f'{{"sent": {number}}}'))

    def test_more_than_a_megabyte_is_refused(self, post_json):
        assert post_json('"' + "a" * 1_000_000 + '"').status_code == 413

    def test_text_that_is_not_utf_8_is_refused(self, post_json):
        assert refusal(post_json(b'{"note": "\xff"}'))

    @pytest.mark.parametrize("minutes", [1e30, "1e30", "1e-30", "1e999999", "9" * 2000])
    def test_impossible_minutes_are_refused_beside_their_field(
        self, post_json, entry_sent, minutes
    ):
        answer = post_json(entry_sent | {"minutes": minutes})
        assert answer.status_code == 400
        assert answer.json()["minutes"][0]["message"].startswith("Give minutes from")

    @pytest.mark.parametrize("field", ["latency", "seconds"])
    def test_a_measure_that_is_no_number_is_refused(self, student_client, field):
        sent = {"id": str(uuid.uuid4()), "source": "pads", "events": [[0, 38, 80]], field: "nan"}
        answer = student_client.post(reverse("assignments:api-takes"), sent, content_type=JSON)
        assert answer.status_code == 400
        assert list(answer.json()) == [field]


def status_of(environ) -> str:
    """What a web server hears from the site."""
    heard: list[str] = []
    assert b"".join(application(environ, lambda status, headers: heard.append(status)))
    return heard[0]


class TestAddressesAndHeaders:
    def test_a_key_that_no_rendering_has_is_not_there(self, teacher_client):
        assert teacher_client.get("/renderings/%00/").status_code == 404

    def test_a_session_that_nobody_was_given_is_nobodys(self):
        client = Client(headers={"cookie": f"sessionid={NUL_IN_COOKIE}"})
        assert client.get(reverse("studio:students")).status_code == 302

    @pytest.mark.parametrize(
        "kind",
        [
            "multipart/form-data; boundary=x; charset=unicode_escape",
            "application/json; charset=utf-16",
            "application/json; charset=base64",
            "multipart/form-data; boundary*=x''%41",
        ],
    )
    def test_a_kind_of_body_that_nobody_can_read_is_refused(self, kind):
        """Django would not even make a request of the last two."""
        environ = RequestFactory().post("/sign-in/?next=x").environ | {"CONTENT_TYPE": kind}
        assert status_of(environ) == "415 Unsupported Media Type"

    @pytest.mark.parametrize("charset", ["utf-8", "UTF8", "nonsense"])
    def test_another_name_of_utf_8_or_of_nothing_is_taken(self, charset):
        kind = f"application/json; charset={charset}"
        environ = RequestFactory().post("/sign-in/").environ | {"CONTENT_TYPE": kind}
        assert status_of(environ) == "403 Forbidden"  # for the lack of a token

    def test_a_file_may_have_any_name_of_real_characters(self, student_client):
        file = SimpleUploadedFile("Übung 🥁.mid", b"MThd")
        answer = student_client.post(reverse("assignments:take-upload"), {"file": file})
        assert answer.status_code == 422
