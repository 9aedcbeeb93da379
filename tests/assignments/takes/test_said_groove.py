"""Which groove a free take was played with: heard in it, or said."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from assignments.models import Take
from assignments.takes.said_groove import SaidGroove
from rhythms.engine import Meter
from rhythms.engine.playback.groove_library import groove_named
from rhythms.engine.takes.groove_heard import OTHER_GROOVE
from rhythms.notation.staff_placement import PLACEMENTS
from tests.assignments.making import make_groove, taken
from tests.assignments.pages import address, text
from tests.assignments.takes.test_take_store import midi_file

pytestmark = pytest.mark.django_db


def bars_of(groove, bars: int = 3) -> list[list[float]]:
    """A groove exactly in time at 80, then a bar of 16ths on the snare."""
    events = [
        [(4 * bar + float(hit.onset)) * 750, PLACEMENTS[hit.surface].key, 80]
        for bar in range(bars)
        for hit in groove.in_bar(bar)
    ]
    return [*events, *([(4 * bars + place / 4) * 750, 38, 80] for place in range(16))]


@pytest.fixture
def funk_take(student) -> Take:
    return taken(student, events=bars_of(groove_named("funk", Meter(4, 4))))


@pytest.fixture
def fill_alone(student) -> Take:
    return taken(student, events=[[place * 187.5, 38, 80] for place in range(16)])


def page_of(client, take: Take) -> str:
    return text(client.get(address("take", take)))


def send(client, **more) -> None:
    file = SimpleUploadedFile("take.mid", midi_file([[0, 38, 80]]))
    client.post(address("take-upload"), {"file": file, "meter": "4/4", **more})


def said_of(take: Take) -> SaidGroove:
    take.refresh_from_db()
    return SaidGroove.of(take)


def test_the_groove_around_a_free_fill_is_kept_with_the_take(funk_take):
    assert funk_take.groove_heard == funk_take.analysis["groove"] == "funk"


def of_the_studio(studio):
    lines = {"hi-hat": "1 2 3 4", "bass drum": "1 & 2 & 3 & 4 &", "snare": "3"}
    return make_groove(studio, "Oven door", lines=lines, setup={})


def test_a_groove_of_the_studio_is_known_in_a_take(student):
    own = of_the_studio(student.studio)
    assert taken(student, events=bars_of(own.pattern.groove)).groove_heard == "Oven door"


def test_a_groove_of_another_studio_is_not_known(student, other_student):
    own = of_the_studio(other_student.studio)
    assert taken(student, events=bars_of(own.pattern.groove)).groove_heard != "Oven door"


def test_a_fill_alone_has_no_groove(fill_alone):
    assert fill_alone.groove_heard == ""


def test_a_take_of_a_fill_has_the_groove_of_its_assignment(student_client, student, variation):
    take = taken(student, variation)
    assert take.groove_heard == ""
    assert "Say with which groove" not in page_of(student_client, take)


def test_the_page_of_a_take_says_its_groove(student_client, funk_take):
    assert "The groove is most like funk." in page_of(student_client, funk_take)


def test_the_page_of_a_take_says_that_its_groove_is_another_one(student_client, funk_take):
    Take.objects.update(groove_heard=OTHER_GROOVE)
    page = page_of(student_client, funk_take)
    assert "The groove is none of those that are known here." in page


@pytest.mark.parametrize("client", ["student_client", "teacher_client"])
def test_who_knows_says_the_groove_of_a_fill_alone(client, fill_alone, request):
    client = request.getfixturevalue(client)
    client.post(address("take-groove", fill_alone.pk), {"groove": "style funk"})
    assert said_of(fill_alone) == SaidGroove(style="funk")
    assert "Played with funk, as was said." in page_of(client, fill_alone)


def test_what_was_said_can_be_unsaid(student_client, fill_alone):
    url = address("take-groove", fill_alone.pk)
    student_client.post(url, {"groove": "style funk"})
    student_client.post(url, {"groove": ""})
    assert said_of(fill_alone) == SaidGroove()


def test_what_was_said_stands_after_it_is_looked_at_again(student_client, fill_alone):
    student_client.post(address("take-groove", fill_alone.pk), {"groove": "style funk"})
    student_client.post(address("take-again", fill_alone.pk))
    assert said_of(fill_alone) == SaidGroove(style="funk")


@pytest.mark.parametrize("sent", ["style nonsense", "groove nonsense", "rock", "\0", "x" * 5000])
def test_a_groove_that_is_none_is_refused_beside_its_field(student_client, fill_alone, sent):
    answer = student_client.post(address("take-groove", fill_alone.pk), {"groove": sent})
    assert answer.status_code == 422
    assert "Choose a groove or a style of the list." in answer.content.decode()
    assert said_of(fill_alone) == SaidGroove()


def test_the_grooves_that_a_student_works_with_are_offered_first(
    student_client, student, fill_alone
):
    student.grooves.create(name="bossa nova")
    make_groove(student.studio, "Oven door")
    page = page_of(student_client, fill_alone)
    places = [page.index(words) for words in ("Bossa nova", "Oven door", ">Rock<")]
    assert places == sorted(places)


def test_a_groove_that_is_gone_stays_chosen(student_client, student, fill_alone):
    own = make_groove(student.studio, "Oven door")
    student_client.post(address("take-groove", fill_alone.pk), {"groove": "groove Oven door"})
    own.remove()
    page = page_of(student_client, fill_alone)
    assert '<option value="groove Oven door" selected>Oven door</option>' in page


def test_the_groove_is_said_with_a_file(student_client):
    send(student_client, groove="style soul")
    assert SaidGroove.of(Take.objects.get()) == SaidGroove(style="soul")


def test_a_file_of_an_assigned_fill_has_the_groove_of_its_assignment(student_client, variation):
    send(student_client, groove="style soul", variation=variation.pk)
    assert SaidGroove.of(Take.objects.get()) == SaidGroove()
