"""The groove before a fill: chosen by the teacher, kept by the assignment, heard by the student."""

import json

import pytest
from django.urls import reverse

from assignments.assigning.forms import groove_choices
from assignments.blocks import GrooveChoice, block_of, playable
from assignments.models import Assignment
from rhythms.engine import Surface
from rhythms.engine.playback.groove import PLAIN_PULSE
from rhythms.engine.playback.groove_library import library
from tests.assignments.making import COUNTS, first_fill, give, make_bar, make_rule_set

pytestmark = pytest.mark.django_db


def groove_before(student, **details) -> str:
    return playable(first_fill(give(student, **details)))["groove"]


def test_without_a_choice_the_first_groove_of_the_meter_leads_to_the_fill(student):
    assert groove_before(student) == "rock"


def test_the_chosen_groove_leads_to_the_fill(student):
    assert groove_before(student, groove=GrooveChoice("funk")) == "funk"


def test_a_bar_of_the_teachers_stays_as_it_was_when_the_library_changes(student):
    march = make_bar(student.studio, "1 & 2 3 & 4", "March")
    fill = first_fill(give(student, groove=GrooveChoice(march.name, march.counts)))
    before = playable(fill)["grooves"]["March"]
    march.delete()
    assert playable(fill)["grooves"]["March"] == before


def test_the_block_is_as_long_as_assigned_at_its_tempo(student):
    data = playable(first_fill(give(student, block_bars=8, tempo=92)))
    assert (data["bars"], data["tempo"], data["loops"]) == (8, 92, 4)


def test_a_student_without_a_crash_lands_on_what_is_there(student):
    student.kit.surfaces = ["snare", "ride", "bass drum"]
    student.kit.save()
    landing = block_of(first_fill(give(student, rule_set=_on_the_snare(student)))).landing
    assert [sound.surface for sound in landing] == [Surface.RIDE, Surface.BASS_DRUM]


def _on_the_snare(student):
    return make_rule_set(student.studio, [{"rule": "placement", "surfaces": ["snare"]}], "Snare")


def test_the_fills_page_brings_the_block_for_the_player(student_client, student):
    fill = first_fill(give(student))
    page = student_client.get(reverse("assignments:fill", args=[fill.pk])).content.decode()
    brought = page.partition('<script id="playable" type="application/json">')[2]
    assert json.loads(brought.partition("</script>")[0]) == playable(fill)


def test_every_groove_of_the_library_and_the_studios_bars_can_be_chosen(student):
    offered = [value for _, group in groove_choices(student.studio)[1:] for value, _ in group]
    bars = [f"bar {bar.pk}" for bar in student.studio.bars.all()]
    assert offered == [*(groove.name for groove in library()), PLAIN_PULSE, *bars]


class TestAssignPage:
    @pytest.fixture
    def send(self, teacher_client, student):
        bar, rules = make_bar(student.studio, COUNTS), make_rule_set(student.studio)
        base = {"bar": bar.pk, "rule_set": rules.pk, "students": [student.pk], "how_many": 1}
        base |= {"tempo": 80, "block_bars": 4, "seed": 1}

        def send(groove):
            data = base | {"groove": groove}
            shown = teacher_client.post(reverse("assignments:draw"), data)
            hand = shown.context["sheet"].hands[0]
            seen = {
                f"space-{student.pk}": hand.draw.key,
                f"fill-{student.pk}": [card.rank for card in hand.cards],
            }
            return teacher_client.post(reverse("assignments:assign"), data | seen)

        return send

    def test_a_groove_is_assigned_with_the_fills(self, send):
        assert send("shuffle").status_code == 302
        assert Assignment.objects.get().groove == "shuffle"

    def test_a_bar_of_the_studio_is_kept_with_its_count_line(self, send, student):
        march = make_bar(student.studio, "1 2 3 & 4", "March")
        send(f"bar {march.pk}")
        assigned = Assignment.objects.get()
        assert (assigned.groove, assigned.groove_counts) == ("March", march.counts)

    def test_a_groove_in_another_meter_is_refused_beside_its_field(self, send):
        page = send("waltz").content.decode()
        assert "This groove is not in 4/4" in page
        assert not Assignment.objects.exists()

    def test_a_bar_in_another_meter_is_refused_even_if_its_counts_would_do(self, send, student):
        waltz = make_bar(student.studio, "1 2 3", "Waltz", meter="3/4")
        assert "This groove is not in 4/4" in send(f"bar {waltz.pk}").content.decode()

    def test_a_bar_of_another_studio_is_no_choice(self, send, other_studio):
        theirs = make_bar(other_studio, "1 2 3 4", "Theirs")
        assert "Choose a groove from the list." in send(f"bar {theirs.pk}").content.decode()
