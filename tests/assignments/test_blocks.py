"""The groove before a fill: chosen by the teacher, kept by the assignment, heard by the student."""

import json
from importlib import import_module

import pytest
from django.apps import apps
from django.urls import reverse
from symusic import Score

from assignments.assigning.groove_select import groove_choices
from assignments.blocks import GrooveChoice, block_of, playable
from assignments.days import today_in
from assignments.models import Assignment
from assignments.planned_pieces import tempos_of
from rhythms.engine import Surface
from rhythms.engine.playback.groove import PLAIN_PULSE
from rhythms.engine.playback.groove_library import library
from rhythms.grooves.groove_list import ListedGroove
from tests.assignments.making import (
    COUNTS,
    first_fill,
    give,
    make_bar,
    make_groove,
    make_rule_set,
)

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


def test_the_fills_page_brings_the_block_for_the_player_at_todays_tempo(student_client, student):
    fill = first_fill(give(student))
    page = student_client.get(reverse("assignments:fill", args=[fill.pk])).content.decode()
    brought = page.partition('<script id="playable" type="application/json">')[2]
    at_todays = {"tempo": tempos_of(student, fill, today_in(student.studio)).today}
    assert json.loads(brought.partition("</script>")[0]) == playable(fill) | at_todays


def test_a_groove_of_the_studios_stays_as_it_was_when_it_is_changed(student):
    own = make_groove(student.studio)
    fill = first_fill(give(student, groove=GrooveChoice.of(ListedGroove.own(own))))
    before = playable(fill)["grooves"]["Walking"]
    own.lines = {"snare": "1"}
    own.save()
    assert playable(fill)["grooves"]["Walking"] == before
    own.delete()
    assert playable(fill)["groove"] == "Walking"


def test_the_last_bar_leads_into_the_fill_where_the_teacher_says_so(student):
    def snare_in_bar_3(**details):
        sounds = block_of(first_fill(give(student, **details))).sounds
        inside = [s for s in sounds if 8 <= s.onset < 12 and s.surface is Surface.SNARE]
        return [float(s.onset) - 8 for s in inside]

    assert snare_in_bar_3() == [1, 3]
    assert snare_in_bar_3(sets_up=True, seed=2) == [1, 3, 3.5]


def test_in_a_phrase_a_bar_leads_into_each_of_its_fills(student_client, student):
    phrase = make_rule_set(student.studio, [{"rule": "phrase", "bars": "4", "smaller": 1}], "Four")
    fill = first_fill(give(student, rule_set=phrase, sets_up=True))
    page = student_client.get(reverse("assignments:fill", args=[fill.pk])).content.decode()
    assert "bars 1 and 3 leading into the fills" in page
    assert "The bar that leads into each fill:" in page
    address = reverse("assignments:block-midi", args=[fill.pk])
    score = Score.from_midi(student_client.get(address).content).to("quarter")
    snare = [note.time for track in score.tracks for note in track.notes if note.pitch == 38]
    for start in (0, 8):
        bar = [time - start for time in snare if start <= time < start + 4]
        assert bar == pytest.approx([1, 3, 3.5], abs=0.01)


def test_the_midi_file_of_the_block_has_that_bar(student_client, student):
    fill = first_fill(give(student, sets_up=True))
    address = reverse("assignments:block-midi", args=[fill.pk])
    score = Score.from_midi(student_client.get(address).content).to("quarter")
    snare = [note.time for track in score.tracks for note in track.notes if note.pitch == 38]
    assert [time - 8 for time in snare if 8 <= time < 12] == pytest.approx([1, 3, 3.5], abs=0.01)


def test_the_fills_page_shows_the_groove_and_its_last_bar(student_client, student):
    fill = first_fill(give(student, groove=GrooveChoice("disco"), sets_up=True))
    page = student_client.get(reverse("assignments:fill", args=[fill.pk]))
    assert len(page.context["groove_bars"]) == 2
    html = page.content.decode()
    assert "Before it: disco</h2>" in html
    assert "Its last bar, which leads into the fill" in html
    assert "3 bars of groove, the last one leading into it, then this fill." in html


def test_a_student_may_see_the_engraving_of_the_groove_that_they_were_given(
    student_client, student, classmate_client
):
    own = make_groove(student.studio)
    fill = first_fill(give(student, groove=GrooveChoice.of(ListedGroove.own(own)), sets_up=True))
    own.delete()
    page = student_client.get(reverse("assignments:fill", args=[fill.pk]))
    for rendering in page.context["groove_bars"]:
        address = reverse("rhythms:rendering", args=[rendering.key])
        assert student_client.get(address).status_code == 204
        assert classmate_client.get(address).status_code == 404


def test_where_the_first_of_a_meter_was_the_pulse_it_stays_the_pulse(student):
    """What nobody chose before the library grew, as the migration leaves it."""
    migration = import_module("assignments.migrations.0019_grooves_of_students")
    seven = make_bar(student.studio, "1 2 3 4 5 6 7", "Seven", meter="7/8")
    faster = make_bar(student.studio, "1 2 3 4 5 6 7 &", "Seven and", meter="7/8")
    in_seven, in_four = give(student, 1, bar=seven), give(student, 1, seed=2)
    chosen = give(student, 1, bar=faster, groove=GrooveChoice("7/8 rock"))
    migration.name_what_was_first(apps, None)
    assert [Assignment.objects.get(pk=one.pk).groove for one in (in_seven, in_four, chosen)] == [
        PLAIN_PULSE,
        "",
        "7/8 rock",
    ]


def test_grooves_are_offered_by_the_names_they_have_in_the_library(student):
    labels = [label for _, group in groove_choices(student.studio)[1:] for _, label in group]
    assert {"Rock", "16th rock", "Bossa nova", "3/4 rock", "Plain pulse"} <= set(labels)


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

        def send(groove, **more):
            data = base | {"groove": groove} | more
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

    def test_a_groove_of_the_studios_is_kept_as_it_is_now(self, send, student):
        own = make_groove(student.studio)
        send(f"own {own.pk}")
        assigned = Assignment.objects.get()
        assert (assigned.groove, assigned.groove_counts) == ("Walking", "")
        assert assigned.groove_kept["lines"] == own.lines

    def test_a_groove_of_another_studio_is_no_choice(self, send, other_studio):
        theirs = make_groove(other_studio)
        assert "Choose a groove from the list." in send(f"own {theirs.pk}").content.decode()

    def test_an_own_groove_in_another_meter_is_refused(self, send, student):
        own = make_groove(student.studio, meter="3/4", lines={"snare": "2 3"}, setup={})
        assert "This groove is not in 4/4" in send(f"own {own.pk}").content.decode()

    def test_that_the_last_bar_leads_on_is_assigned(self, send):
        send("disco", sets_up="on")
        assert Assignment.objects.get().sets_up is True

    def test_a_groove_without_such_a_bar_is_refused_beside_the_box(self, send):
        page = send("ska", sets_up="on").content.decode()
        assert "“ska” has no bar that leads into a fill." in page
        assert not Assignment.objects.exists()

    def test_a_bar_of_another_studio_is_no_choice(self, send, other_studio):
        theirs = make_bar(other_studio, "1 2 3 4", "Theirs")
        assert "Choose a groove from the list." in send(f"bar {theirs.pk}").content.decode()
