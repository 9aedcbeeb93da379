"""Bars from a file with what is struck: shown as struck, kept as rhythms or as grooves."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from rhythms.bar_imports.import_store import different_bars
from rhythms.engine import Bar, Fill, Kit, Stroke, Surface
from rhythms.engine.fills.fill import Hit, snare_fill, stroke_of
from rhythms.engine.kits.surfaces import KIT_SURFACES
from rhythms.engine.playback.groove_library import patterns
from rhythms.fill_spaces import space_for
from rhythms.models import BarImport
from rhythms.notation import midi
from rhythms.notation.reading import Reading, ReadMeasure
from rhythms.renderings import visibility
from rhythms.renderings.rendering_store import rendering_for
from tests.notation.reading.test_played_midi import hits, midi_file

BAR = Bar.from_counts("1 & 2 & 3 & 4 &")
HAT = Stroke(Surface.HI_HAT)
BEAT = Fill(
    BAR,
    (
        stroke_of([Hit(Surface.HI_HAT), Hit(Surface.BASS_DRUM, "RF")]),
        HAT,
        stroke_of([Hit(Surface.SNARE), Hit(Surface.HI_HAT)]),
        HAT,
    )
    * 2,
)
UPLOAD = "/bars/import/"
SNARE, FLOOR_TOM = 38, 43


@pytest.fixture
def brought(teacher_client, studio, django_capture_on_commit_callbacks):
    """Read a file, as the worker does."""

    def bring(data: bytes) -> BarImport:
        with django_capture_on_commit_callbacks(execute=True):
            teacher_client.post(UPLOAD, {"file": SimpleUploadedFile("Take 7.mid", data)})
        return studio.bar_imports.latest("created_at")

    return bring


def address(imported: BarImport) -> str:
    return reverse("rhythms:bar-import-file", args=[imported.pk])


def keep(client, imported: BarImport, **sent):
    names = {"name-0": "Mine", "keep-0": "on"}
    return client.post(address(imported), names | {k.replace("_", "-"): v for k, v in sent.items()})


def two_measures() -> bytes:
    """One rhythm, on the snare and then on the floor tom."""
    return midi_file(hits([0, 1, 2, 3], SNARE) + hits([4, 5, 6, 7], FLOOR_TOM))


def test_a_bar_is_shown_as_it_is_struck(teacher_client, brought):
    (row,) = teacher_client.get(address(brought(midi(BEAT)))).context["rows"]
    assert row["rendering"] == rendering_for(BEAT, counts=True)


def test_a_bar_is_kept_as_its_rhythm_where_nothing_else_is_chosen(teacher_client, studio, brought):
    imported = brought(midi(BEAT))
    for sent in ({}, {"kind_0": ""}, {"kind_0": "bar"}):
        studio.bars.filter(name="Mine").delete()
        assert keep(teacher_client, imported, **sent).status_code == 302
        assert studio.bars.get(name="Mine").bar == BAR
    assert not studio.grooves.exists()


def test_a_bar_is_kept_as_a_groove_with_its_drums(teacher_client, studio, brought):
    response = keep(teacher_client, brought(midi(BEAT)), kind_0="0")
    groove = studio.grooves.get(name="Mine")
    assert groove.lines == {"snare": "2 4", "hi-hat": "1 & 2 & 3 & 4 &", "bass drum": "1 3"}
    assert not studio.bars.filter(name="Mine").exists()
    assert response.url == reverse("rhythms:grooves")
    assert "“Mine” is among your grooves." in teacher_client.get(response.url).content.decode()


def test_bars_and_grooves_of_one_file_go_to_their_places(teacher_client, studio, brought):
    data = midi_file(hits([0, 1, 2, 3], SNARE) + hits([4, 5, 6, 7, 7.5], FLOOR_TOM))
    sent = {"kind_0": "0", "keep_1": "on", "name_1": "Mine"}
    response = keep(teacher_client, brought(data), **sent)
    page = teacher_client.get(response.url).content.decode()
    assert response.url == reverse("rhythms:bars")
    assert "“Mine” is in your library." in page
    assert "“Mine” is among your grooves." in page


def test_one_rhythm_on_several_drums_says_so_and_offers_each(teacher_client, brought):
    (row,) = teacher_client.get(address(brought(two_measures()))).context["rows"]
    assert row["others"] == "Measure 2"
    assert [label for _, label in row["kind"].field.choices] == [
        "A bar: its rhythm alone",
        "A groove: the drums of measure 1",
        "A groove: the drums of measure 2",
        "A fill: the drums of measure 1",
        "A fill: the drums of measure 2",
    ]


def test_the_groove_that_is_chosen_is_kept(teacher_client, studio, brought):
    keep(teacher_client, brought(two_measures()), kind_0="1")
    assert studio.grooves.get().lines == {"floor tom": "1 2 3 4"}


def left(studio, name: str) -> Fill:
    """The one fill of the bar and the rule set of this name."""
    bar, rules = studio.bars.get(counts=BAR.counts()), studio.rule_sets.get(name=name)
    space = space_for(bar, rules, Kit(KIT_SURFACES))
    assert space.size == 1
    return space.fill(0)


def test_a_bar_is_kept_as_a_fill_with_a_rule_set_that_lays_its_strokes(
    teacher_client, studio, brought
):
    studio.bars.all().delete()
    response = keep(teacher_client, brought(midi(BEAT)), kind_0="fill 0")
    assert left(studio, "Mine") == BEAT
    assert studio.bars.get(name="Mine").bar == BAR
    page = teacher_client.get(response.url).content.decode()
    assert "“Mine” is in your library." in page
    assert "“Mine” is among your rule sets: assign it with the bar" in page
    shown = teacher_client.get(reverse("rhythms:rule-sets")).content.decode()
    assert "Lays the strokes of a file on the bar “Mine”." in shown


def test_a_bar_that_the_library_has_is_not_kept_twice_for_a_fill(teacher_client, studio, brought):
    known = studio.bars.get(counts=BAR.counts())
    keep(teacher_client, brought(midi(BEAT)), kind_0="fill 0", name_0="Beat")
    assert left(studio, "Beat") == BEAT
    assert studio.rule_sets.get(name="Beat").note.endswith(f"on the bar “{known}”.")
    assert not studio.bars.filter(name="Beat").exists()


def test_the_fill_that_is_chosen_is_kept(teacher_client, studio, brought):
    keep(teacher_client, brought(two_measures()), kind_0="fill 1")
    assert studio.rule_sets.get(name="Mine").sentences() == (
        "Notes on 1, 2, 3 and 4 go on the floor tom.",
    )


def test_what_no_rules_can_lay_is_offered_as_a_bar_and_a_groove_alone(teacher_client, brought):
    """Two notes of six in a beat are counted alike."""
    six = snare_fill(Bar.from_counts("1 trip let & trip let 2 3 4"))
    (row,) = teacher_client.get(address(brought(midi(six)))).context["rows"]
    assert [value for value, _ in row["kind"].field.choices] == ["bar", "0"]


@pytest.mark.parametrize("taken", ["bars", "rule_sets"])
def test_a_fill_needs_a_name_that_neither_a_bar_nor_a_rule_set_has(
    teacher_client, studio, brought, taken
):
    studio.bars.all().delete()
    more = {"counts": "1 2 3 4"} if taken == "bars" else {}
    getattr(studio, taken).create(name="MINE", **more)
    response = keep(teacher_client, brought(midi(BEAT)), kind_0="fill 0")
    assert "There is already a " in str(response.context["form"].errors["name-0"])
    assert studio.rule_sets.filter(name="Mine").count() == 0
    assert studio.bars.filter(name="Mine").count() == 0


def test_what_most_measures_strike_is_shown():
    fills = [snare_fill(BAR), BEAT, BEAT]
    measures = tuple(
        ReadMeasure(0, str(number), BAR, (), fill) for number, fill in enumerate(fills, 1)
    )
    (found,) = different_bars(Reading("MIDI", "", ("Drums",), measures))
    assert found.shown == BEAT
    assert [len(same) for same in found.fills.values()] == [2, 1]


def test_a_tune_is_shown_on_the_snare_and_kept_as_a_rhythm(teacher_client, brought):
    imported = brought(midi_file(hits([0, 1, 2, 3], key=60), channel=0))
    (row,) = teacher_client.get(address(imported)).context["rows"]
    assert row["kind"] is None
    assert row["rendering"] == rendering_for(snare_fill(Bar.from_counts("1 2 3 4")), counts=True)


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("", "Give it a name."),
        ("taken", "There is already a groove “taken”."),
        (patterns()[0].name.upper(), "is in the library."),
    ],
)
def test_a_name_that_no_groove_may_have_is_refused_beside_it(
    teacher_client, studio, brought, name, message
):
    studio.grooves.create(name="Taken", lines={"snare": "2 4"})
    response = keep(teacher_client, brought(midi(BEAT)), kind_0="0", name_0=name)
    assert message in str(response.context["form"].errors["name-0"])
    assert studio.grooves.count() == 1


def test_a_bar_and_a_groove_may_have_one_name(teacher_client, studio, brought):
    studio.bars.create(name="Mine", counts="1 2 3 4")
    assert keep(teacher_client, brought(midi(BEAT)), kind_0="0").status_code == 302


@pytest.mark.parametrize("kind", ["7", "-1", "x", "fill 7", "fill", "fill x"])
def test_another_choice_is_refused_beside_it(teacher_client, studio, brought, kind):
    response = keep(teacher_client, brought(midi(BEAT)), kind_0=kind)
    assert "Choose a bar or a groove" in str(response.context["form"].errors["kind-0"])
    assert not studio.grooves.exists()


def test_what_was_left_out_is_said_of_its_measure(teacher_client, brought):
    """Three drums for two hands."""
    data = midi_file(hits([0, 1, 2, 3], SNARE) + hits([1], FLOOR_TOM) + hits([1], 51, velocity=30))
    page = teacher_client.get(address(brought(data))).content.decode()
    assert "Left out, as more than two hands strike at once: ride at 2." in page


def test_the_engraving_of_what_is_struck_is_seen_by_its_studio_alone(
    rf, brought, studio, other_studio
):
    bar = Bar.from_counts("1 trip let 2 & (3) 4")  # in no library
    toms = Fill(bar, (Stroke(Surface.FLOOR_TOM),) * len(bar.sounded))
    brought(midi(toms))
    request = rf.get("/")
    request.student = None
    seen = []
    for request.studio in (studio, other_studio):
        seen.append(visibility.may_see(request, rendering_for(toms, counts=True)))
    assert seen == [True, False]


def test_a_file_that_was_read_before_fills_were_is_shown_as_ever(teacher_client, studio):
    reading = {
        "kind": "MIDI",
        "title": "",
        "parts": ["Drums"],
        "words": [],
        "measures": [
            {
                "part": 0,
                "number": "1",
                "bar": {"meter": "4/4", "counts": "1 2 3 4"},
                "words": [],
            }
        ],
    }
    imported = studio.bar_imports.create(
        name="old.mid", state=BarImport.State.DONE, reading=reading
    )
    (row,) = teacher_client.get(address(imported)).context["rows"]
    assert row["found"].bar == Bar.from_counts("1 2 3 4")
