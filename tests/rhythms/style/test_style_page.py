"""The studio's own style: what its teacher plays, mixed in; and how hands are printed."""

import re
from functools import cache

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from rhythms.engine import Bar, Fill, FillSpace, Kit, RuleSet, Stroke, Surface, draw
from rhythms.engine.playback.groove_library import groove_named
from rhythms.engine.playback.timeline import Block
from rhythms.engine.prior.human_prior import human_prior
from rhythms.engine.prior.played_line import Line
from rhythms.models import Stickings, StudioStyle, TeacherTake
from rhythms.notation.export.midi import block_midi
from rhythms.style import own_playing as own_playing_module
from rhythms.style.own_playing import own_playing, prior_of

pytestmark = pytest.mark.django_db

PAGE, ADD = reverse("rhythms:style"), reverse("rhythms:own-playing-add")
BAR = Bar.from_counts("1 e & a 2 e & a 3 e & a 4 e & a")


def on_the_floor_tom() -> Fill:
    return Fill(BAR, (Stroke(Surface.FLOOR_TOM),) * len(BAR.sounded))


def file_of(fill: Fill, bars: int = 4, tempo: int = 100) -> SimpleUploadedFile:
    block = Block(fill, groove_named("rock", fill.bar.meter), bars)
    return SimpleUploadedFile("Mine.mid", block_midi(block, tempo))


read_once = cache(own_playing_module.strokes)


@pytest.fixture(autouse=True)
def _each_file_is_read_once(monkeypatch):
    """Reading it, in a process of its own, is what takes long."""
    monkeypatch.setattr(own_playing_module, "strokes", read_once)


@pytest.fixture
def sent(teacher_client):
    answer = teacher_client.post(ADD, {"file": file_of(on_the_floor_tom()), "meter": "4/4"})
    assert answer.status_code == 302
    return TeacherTake.objects.get()


def share_of_the_floor_tom(prior) -> float:
    space = FillSpace(BAR, RuleSet.from_json([]), Kit.standard())
    surfaces = [s.surface for fill in draw(space, 60, 1, 1.0, prior) for s in fill.strokes]
    return surfaces.count(Surface.FLOOR_TOM) / len(surfaces)


def test_what_the_teacher_played_is_kept_as_fills_without_the_groove(sent):
    (fill,) = sent.fills
    assert Line.of(Fill.from_json(fill)) == Line.of(on_the_floor_tom())


def test_the_page_says_how_much_of_it_is_mixed_in(teacher_client, sent):
    page = teacher_client.get(PAGE).content.decode()
    assert "1 fill of yours: of the fills drawn here, one in 424 is played your way." in page
    assert "Mine.mid" in page


def test_the_same_file_counts_once(teacher_client, sent):
    teacher_client.post(ADD, {"file": file_of(on_the_floor_tom()), "meter": "4/4"})
    assert own_playing(sent.studio).fills == 1


def test_fills_come_to_sound_like_the_teacher_with_the_number_of_theirs(sent):
    few = share_of_the_floor_tom(prior_of(sent.studio))
    TeacherTake.objects.update(fills=sent.fills * 800, key="another")
    many = share_of_the_floor_tom(prior_of(sent.studio))
    assert many > few + 0.15


def test_without_takes_it_is_what_the_drummers_play(studio):
    assert prior_of(studio) is human_prior()


def test_switched_off_it_is_kept_and_not_mixed_in(teacher_client, sent):
    teacher_client.post(PAGE, {"sticking": Stickings.AS_TAUGHT})
    assert prior_of(sent.studio) is human_prior()
    assert "kept, and not mixed in now" in teacher_client.get(PAGE).content.decode()


def test_a_take_is_removed_and_brought_back(teacher_client, sent):
    teacher_client.post(reverse("rhythms:own-playing-remove", args=[sent.pk]))
    assert prior_of(sent.studio) is human_prior()
    teacher_client.post(reverse("rhythms:own-playing-restore", args=[sent.pk]))
    assert len(prior_of(sent.studio).players) == 3


def test_all_of_it_is_cleared_once_that_is_confirmed(teacher_client, sent):
    clear = reverse("rhythms:own-playing-clear")
    assert "Clear your own playing?" in teacher_client.get(clear).content.decode()
    assert own_playing(sent.studio).fills == 1
    teacher_client.post(clear)
    assert own_playing(sent.studio).fills == 0


def test_another_studio_does_not_hear_it(sent, other_studio):
    assert prior_of(other_studio) is human_prior()


@pytest.mark.parametrize(
    ("file", "words"),
    [
        (
            SimpleUploadedFile("a.mid", b"MThd\x00\x00\x00\x06\x00\x00\x00\x01\x01\xe0MTr"),
            "damaged or cut off",
        ),
        (SimpleUploadedFile("a.xml", b"<score-partwise/>"), "This is not a MIDI file."),
        (None, "Choose the MIDI file"),
    ],
)
def test_a_file_that_cannot_be_read_says_why_beside_its_field(teacher_client, file, words):
    answer = teacher_client.post(ADD, {"meter": "4/4"} | ({"file": file} if file else {}))
    assert answer.status_code == 422
    assert words in " ".join(answer.context["upload"].errors["file"])
    assert not TeacherTake.objects.exists()


def test_a_file_without_a_fill_says_so(teacher_client):
    bar = Bar.from_counts("(1) (2) (3) (4)")
    silent = Fill(bar, ())
    answer = teacher_client.post(ADD, {"file": file_of(silent), "meter": "4/4"})
    assert "No fill was found" in " ".join(answer.context["upload"].errors["file"])


def test_the_studios_sticking_is_where_an_assignment_starts(teacher_client, studio):
    teacher_client.post(PAGE, {"sticking": Stickings.NONE_PRINTED, "own_playing": "on"})
    assert StudioStyle.objects.get(studio=studio).sticking == Stickings.NONE_PRINTED
    page = teacher_client.get(reverse("assignments:assign")).content.decode()
    (chosen,) = re.findall(r'<option value="([^"]*)" selected>None printed', page)
    assert chosen == Stickings.NONE_PRINTED
