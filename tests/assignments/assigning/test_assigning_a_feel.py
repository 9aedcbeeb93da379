"""Swing from the assign page to all that a student sees, hears and takes along."""

import io
import json
from dataclasses import replace

import mido
import pytest
from django.urls import reverse

from assignments.blocks import block_of, playable
from assignments.downloads.sheet_content import sheet_of_assignment
from assignments.models import Assignment
from rhythms.engine import Meter
from rhythms.engine.bars.feel import SIXTEENTHS, STRAIGHT, Feel
from rhythms.engine.playback import groove_library
from rhythms.engine.playback.groove_library import groove_named
from rhythms.notation.sheets import Sheet
from rhythms.renderings.rendering_store import key_of, renderings_for
from rhythms.sheets.sheet_text import Look
from tests.assignments.assigning.test_assign_page import DRAW, PAGE, drawn
from tests.assignments.making import ALL_ON_SNARE, first_fill, give, make_bar, make_rule_set

pytestmark = pytest.mark.django_db

TRIPLET = Feel(67)


@pytest.fixture
def filled(studio, student):
    return {
        "bar": make_bar(studio, "1 & 2 & 3 e & a 4 &").pk,
        "rule_set": make_rule_set(studio, [], "Anything").pk,
        "students": [student.pk],
        "how_many": "2",
        "tempo": "80",
        "block_bars": "4",
        "seed": "5",
    }


def assigned(client, filled, **more) -> Assignment:
    response = client.post(PAGE, drawn(client, {**filled, **more}))
    assert response.status_code == 302
    return Assignment.objects.get()


def form_of(client, filled, **more):
    return client.post(DRAW, {**filled, **more}).context["form"]


class TestChoosing:
    @pytest.mark.parametrize(
        ("typed", "unit", "feel"),
        [
            ("67", "eighths", TRIPLET),
            ("triplet", "", TRIPLET),
            ("Light", "16ths", Feel(58, SIXTEENTHS)),
            ("62 %", "eighths", Feel(62)),
            ("straight", "eighths", STRAIGHT),
        ],
    )
    def test_what_was_typed_is_kept(self, teacher_client, filled, typed, unit, feel):
        given = assigned(teacher_client, filled, swing=typed, swing_unit=unit)
        assert given.feel == feel

    def test_without_a_word_it_is_straight(self, teacher_client, filled):
        assert assigned(teacher_client, filled).feel == STRAIGHT

    @pytest.mark.parametrize("typed", ["300", "300 %", "49", "a lot"])
    def test_a_swing_that_cannot_be_is_refused_by_its_field(self, teacher_client, filled, typed):
        response = teacher_client.post(PAGE, drawn(teacher_client, filled) | {"swing": typed})
        assert response.status_code == 200
        assert not Assignment.objects.exists()
        page = response.content.decode()
        form = response.context["form"]
        assert "give a number from 50 to 80" in form.errors["swing"][0]
        assert form["swing"].value() == typed
        assert form.errors["swing"][0].split(":")[0].split("“")[0] in page

    def test_above_the_page_it_is_said_that_nothing_is_assigned_and_where(
        self, teacher_client, filled
    ):
        typed = drawn(teacher_client, filled) | {"swing": "300", "how_many": ""}
        page = " ".join(teacher_client.post(PAGE, typed).content.decode().split())
        number = '<a href="#id_how_many_field">Fills for each</a>'
        swing = '<a href="#id_swing_field">Swing</a>'
        assert f"Nothing is assigned yet. See the note at {swing}, {number}." in page
        assert "Nothing is assigned yet" not in teacher_client.get(PAGE).content.decode()

    def test_eighths_that_are_counted_are_refused_with_what_swings_there(
        self, teacher_client, studio, filled
    ):
        filled["bar"] = make_bar(studio, "1 & 2 3 4 5 6", "Six", "6/8").pk
        form = form_of(teacher_client, filled, swing="67")
        assert form.errors["swing_unit"] == [
            "In 6/8 the eighths are counted, and do not swing. Choose the 16ths."
        ]
        assert not form_of(teacher_client, filled, swing="67", swing_unit="16ths").errors

    def test_a_groove_brings_its_own_feel_unless_another_is_typed(
        self, teacher_client, filled, monkeypatch
    ):
        swung = replace(groove_named("rock", Meter(4, 4)), feel=TRIPLET)
        monkeypatch.setattr(groove_library, "library", lambda: (swung,))
        assert form_of(teacher_client, filled, groove="rock").feel == TRIPLET
        typed = form_of(teacher_client, filled, groove="rock", swing="straight")
        assert typed.feel == STRAIGHT

    def test_the_fills_are_shown_with_their_sign(self, teacher_client, filled):
        (hand,) = teacher_client.post(DRAW, {**filled, "swing": "hard"}).context["sheet"].hands
        assert [card.rendering.feel for card in hand.cards] == [Feel(75)] * 2

    def test_a_card_says_how_fast_its_fill_is_played_swung(self, teacher_client, studio, filled):
        """By hand: the second stroke of samba's bass drum takes 0.1 s, straight in a fourth of a
        beat, and of swung 16ths in a sixth."""
        samba = {"rule": "feet keep going", "pattern": "samba"}
        filled |= {
            "bar": make_bar(studio, "1 2 3 4", "Four").pk,
            "rule_set": make_rule_set(studio, [*ALL_ON_SNARE, samba], "Over samba").pk,
            "how_many": "1",
        }
        swung = {"swing": "triplet", "swing_unit": "16ths"}
        assert "Playable to 150." in teacher_client.post(DRAW, filled).content.decode()
        page = teacher_client.post(DRAW, filled | swung).content.decode()
        assert "Playable to 100." in page
        assert "Some work at 80" in page
        kept = first_fill(assigned(teacher_client, filled, **swung))
        assert (kept.top_tempo, kept.reason) == (100, "Playable to 100.")

    def test_the_words_are_offered(self, teacher_client):
        page = teacher_client.get(PAGE).content.decode()
        for word in ("straight", "light", "triplet", "hard"):
            assert f'<option value="{word}">' in page


@pytest.fixture
def swung(student):
    return give(student, 2, feel=TRIPLET)


class TestWhatAStudentGets:
    def test_the_engraving_has_the_sign_and_says_it(self, swung):
        rendering = first_fill(swung).rendering
        assert rendering.feel == TRIPLET
        assert rendering.key == key_of(rendering.source)

    def test_a_straight_engraving_has_the_address_it_always_had(self, student):
        rendering = first_fill(give(student, 1)).rendering
        assert set(rendering.source) == {"fill", "counts"}
        assert rendering.feel == STRAIGHT

    def test_the_same_fill_straight_and_by_each_feel_is_engraved_by_itself(self, swung):
        fill = first_fill(swung).rendering.fill
        feels = (STRAIGHT, TRIPLET, Feel(67, SIXTEENTHS), Feel(75))
        keys = {renderings_for([fill], True, feel)[0].key for feel in feels}
        assert len(keys) == len(feels)
        assert first_fill(swung).rendering_id in keys

    def test_the_block_is_played_by_it(self, swung):
        fill = first_fill(swung)
        assert block_of(fill).feel == TRIPLET
        assert playable(fill)["feel"] == "eighths 67"

    def test_the_page_says_it_beside_the_tempo(self, student_client, swung):
        page = student_client.get(reverse("assignments:fill", args=[first_fill(swung).pk]))
        assert "beats a minute, triplet swing (67 %)" in page.content.decode()

    def test_midi_sounds_it(self, student_client, swung):
        fill = first_fill(swung)
        address = reverse("assignments:variation-file", args=[fill.pk, "mid"])
        played, straight = (
            struck(student_client.get(address).content),
            [round(480 * note.onset) for note in fill.as_fill.bar.sounded],
        )
        warp = TRIPLET.warp_of(fill.as_fill.bar)
        assert played == [
            round(480 * warp.sounding(note.onset)) for note in fill.as_fill.bar.sounded
        ]
        assert played != straight

    def test_musicxml_of_one_and_of_all_says_it(self, student_client, teacher_client, swung):
        fill = first_fill(swung)
        one = student_client.get(reverse("assignments:variation-file", args=[fill.pk, "musicxml"]))
        of_all = reverse("assignments:assignment-file", args=[swung.pk, "musicxml"])
        every = teacher_client.get(of_all)
        for answer in (one, every):
            assert answer.content.decode().count("<swing>") == 1

    def test_paper_has_the_sign_and_the_words(self, swung):
        sheet = sheet_of_assignment(swung, Look())
        assert {exercise.feel for exercise in sheet.exercises} == {TRIPLET}
        assert sheet.sections[0].lines[0].startswith("Tempo 80, triplet swing (67 %). 3 bars")
        assert Sheet.from_json(json.loads(json.dumps(sheet.to_json()))) == sheet

    def test_a_straight_sheet_is_the_file_it_always_was(self, student):
        sheet = sheet_of_assignment(give(student, 1), Look())
        (exercise,) = sheet.to_json()["sections"][0]["exercises"]
        assert set(exercise) == {"label", "fill", "note"}

    def test_eighths_that_do_not_swing_leave_everything_as_it_is(self, student):
        bar = make_bar(student.studio, "1 & 2 3 4 5 6", "Six", "6/8")
        given = give(student, 1, bar=bar, rule_set=make_rule_set(student.studio, [], "Any"))
        other = give(student, 1, bar=bar, rule_set=given.rule_set, feel=TRIPLET, seed=2)
        for assignment in (given, other):
            fill = first_fill(assignment)
            assert set(fill.rendering.source) == {"fill", "counts"}
            assert playable(fill)["feel"] == "straight"
            assert fill.feel_in_words == ""


def struck(data: bytes) -> list[int]:
    at, found = 0, []
    for message in mido.MidiFile(file=io.BytesIO(data)).tracks[0]:
        at += message.time
        if message.type == "note_on":
            found.append(at)
    return found
