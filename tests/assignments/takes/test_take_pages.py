"""The pages of takes: list, result, file, kit and lesson."""

import re
import uuid
from dataclasses import replace

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from assignments.models import AssignedVariation, KitMap, Take
from assignments.takes.record_page import pads
from assignments.takes.take_analysis import analyse_take
from assignments.takes.take_store import TakeInput, create_take
from rhythms.engine import Fill, Kit, Stroke, Surface
from rhythms.engine.fills.fill import Hit, stroke_of
from rhythms.engine.fills.hands import with_hands
from rhythms.engine.kits.surfaces import WAYS
from rhythms.engine.playback.ostinato_library import typed_ostinato
from rhythms.notation.staff_placement import PLACEMENTS
from rhythms.renderings import rendering_maker
from tests.assignments.making import (
    first_fill,
    give,
    make_rule_set,
    strokes_of,
    taken,
)
from tests.assignments.pages import address
from tests.assignments.takes.test_take_store import midi_file

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("one_cast")]


def page_of(client, take) -> str:
    return client.get(address("take", take.pk)).content.decode()


# --- the result ----------------------------------------------------------------------


def test_each_wrong_note_is_named_in_words(student_client, student, variation):
    events = strokes_of(variation.as_fill, 80)
    other = 51 if events[1][1] != 51 else 45
    events[1][1] = other
    del events[4]
    page = page_of(student_client, taken(student, variation, events=events))
    name = {51: "ride", 45: "mid tom"}[other]
    assert f"{name} instead of {variation.as_fill.strokes[1].surface}" in page
    assert "missed" in page
    assert f"{len(events) - 1} of {len(events) + 1} right" in page


def test_a_missed_note_is_named_without_the_hand_that_it_asks_for(
    student_client, student, variation
):
    variation.fill = with_hands(variation.as_fill, Kit.standard()).to_json()
    variation.save()
    fill = AssignedVariation.objects.get(pk=variation.pk).as_fill
    take = taken(student, variation, events=strokes_of(fill, 80)[1:])
    page = page_of(student_client, take)
    assert f"{fill.strokes[0].surface} missed" in page
    assert "missed" in page
    assert "(R)" not in page


def open_on_two(variation: AssignedVariation, way: Surface) -> Fill:
    fill = variation.as_fill
    strokes = (Stroke(Surface.SNARE), Stroke(way), *fill.strokes[2:])
    variation.fill = Fill(fill.bar, strokes).to_json()
    variation.save()
    return AssignedVariation.objects.get(pk=variation.pk).as_fill


def test_a_hi_hat_that_should_be_open_and_was_not_is_named(student_client, student, variation):
    fill = open_on_two(variation, Surface.OPEN_HI_HAT)
    events = strokes_of(fill, 80)
    assert "instead of" not in page_of(student_client, taken(student, variation, events=events))
    events[1][1] = 42
    page = page_of(student_client, taken(student, variation, events=events))
    assert "hi-hat instead of open hi-hat" in page
    assert f"{len(events)} of {len(events)} right" in page, "the right drum at the right time"


def test_a_half_open_hi_hat_is_not_told_from_an_open_one_that_has_its_key(
    student_client, student, variation
):
    fill = open_on_two(variation, Surface.HALF_OPEN_HI_HAT)
    page = page_of(student_client, taken(student, variation, events=strokes_of(fill, 80)))
    assert "instead of" not in page


@pytest.mark.parametrize("way", WAYS)
def test_the_pads_have_a_way_of_striking_where_the_fill_asks_for_it(student, variation, way):
    plain = pads(student, variation.as_fill)
    more = pads(student, open_on_two(variation, way))
    assert [pad["surface"] for pad in more if pad not in plain] == [str(way)]
    assert len({pad["code"] for pad in more}) == len(more)


def test_notes_are_marked_in_the_engraving_by_shape(student_client, student, variation):
    events = strokes_of(variation.as_fill, 80)[1:]
    rendering_maker.make(variation.rendering.key)
    page = page_of(student_client, taken(student, variation, events=events))
    assert page.count("mark mark-right") == len(events)
    assert page.count("<circle") == 2, "a ring round the head and one in the row below"


def test_a_foot_that_was_missed_is_ringed_at_its_own_head(student_client, student):
    rules = [
        {"rule": "placement", "surfaces": ["snare"]},
        {"rule": "foot under", "surfaces": ["snare"]},
    ]
    rule_set = make_rule_set(student.studio, rules, name="A foot under all")
    variation = first_fill(give(student, 1, rule_set=rule_set))
    snares = strokes_of(variation.as_fill, 80)
    feet = [[ms, 36, velocity] for ms, _, velocity in snares][1:]
    rendering_maker.make(variation.rendering.key)
    page = page_of(student_client, taken(student, variation, events=sorted(snares + feet)))
    ringed = re.search(r'id="[^"]*-s0-feet"[^>]*>.*?</g>\s*<(?:g|circle)', page, re.DOTALL)
    assert 'class="stroke played-missed"' in ringed[0]
    assert page.count("<circle") == 2, "a ring round the foot's head and one in the row below"
    assert "bass drum missed" in page


def test_two_attempts_share_no_id(student_client, student, variation):
    once = strokes_of(variation.as_fill, 80)
    events = once + strokes_of(variation.as_fill, 80, start=3000)
    rendering_maker.make(variation.rendering.key)
    page = page_of(student_client, taken(student, variation, events=events))
    ids = [part.split('"')[0] for part in page.split(' id="')[1:]]
    assert len(ids) == len(set(ids))
    assert page.count('<article class="attempt"') == 2


def test_early_and_late_have_no_verdict_without_a_measured_device(student_client, take):
    page = page_of(student_client, take)
    assert "this device was never measured" in page


def test_a_measured_device_is_judged(student_client, student, variation):
    events = strokes_of(variation.as_fill, 80, start=45)
    page = page_of(student_client, taken(student, variation, events=events, latency=0.0))
    assert "45 ms late" in page


def test_the_rules_that_were_kept_are_listed(student_client, take):
    assert "Kept throughout" in page_of(student_client, take)


def test_a_free_take_shows_its_fills_engraved(student_client, student, variation):
    events = strokes_of(variation.as_fill, 80)
    take = taken(student, None, events=events)
    rendering_maker.make(take.renderings.get().key)
    page = page_of(student_client, take)
    assert "<p>1 fill.</p>" in page
    assert "<svg" in page


def test_a_free_phrase_of_two_bars_is_one_fill_with_its_feet_and_touches(student_client, student):
    struck = [(0, 38, 110), (0, 36, 60), (1, 38, 30), (1.5, 43, 80), (2.5, 36, 60), (3, 48, 80)]
    struck += [
        (4.25, 38, 70),
        (5, 38, 75),
        (5, 43, 115),
        (6, 44, 60),
        (6.5, 48, 80),
        (7.75, 43, 85),
    ]
    events = [[round(at * 750.0, 2), key, velocity] for at, key, velocity in struck]
    take = taken(student, None, events=events, source=Take.Source.LIVE)
    (fill,) = (Fill.from_json(one) for one in take.fills)
    assert fill.bar.meter.bars == 2
    assert [(hit.surface, hit.dynamic) for hit in fill.hits] == [
        ("snare", "accent"),
        ("bass drum", "normal"),
        ("snare", "ghost"),
        ("floor tom", "normal"),
        ("bass drum", "normal"),
        ("high tom", "normal"),
        ("snare", "normal"),
        ("snare", "normal"),
        ("floor tom", "accent"),
        ("hi-hat foot", "normal"),
        ("high tom", "normal"),
        ("floor tom", "normal"),
    ]
    rendering_maker.make(take.renderings.get().key)
    page = page_of(student_client, take)
    assert "<p>1 fill.</p>" in page
    assert "<svg" in page


def test_a_fill_that_is_not_there_is_not_found(student_client, student, variation):
    events = [[k * 375.0, 51, 80] for k in range(16)]
    assert "not to be found" in page_of(student_client, taken(student, variation, events=events))


@pytest.mark.parametrize(
    ("events", "words"),
    [
        ([[0, 38, 90], [500, 38, 90]], "There are too few strokes to make out a tempo."),
        ([[0, 38, 0], [500, 38, 0]], "There is no stroke in it."),
        ([[k * 250.0, 3, 90] for k in range(9)], "No stroke is on a drum that is known here."),
        (
            [[1000, key, 90] for key in (36, 38, 42, 45, 48, 51)],
            "Too many strokes come at once to make out a tempo.",
        ),
    ],
)
def test_a_take_in_which_nothing_can_be_made_out_says_why_and_no_more(
    student_client, student, events, words
):
    page = page_of(
        student_client, taken(student, None, events=events, click=None, source="web midi")
    )
    assert words in page
    assert "No groove and no fill was made out." in page
    assert "Spread is" not in page
    assert "It was played at another tempo" not in page


def test_a_take_that_waits_looks_again_by_itself(student_client, student, variation):
    take, _ = create_take(student, TakeInput("pads", strokes_of(variation.as_fill, 80)))
    assert "Being looked at" in page_of(student_client, take)


def test_a_take_that_failed_says_why_and_can_be_tried_again(student_client, take):
    Take.objects.update(state="failed", error="The file is cut off.")
    assert "The file is cut off." in page_of(student_client, take)
    student_client.post(address("take-again", take.pk))
    take.refresh_from_db()
    assert take.asked_at > take.created_at


def test_a_take_that_is_longer_than_what_is_read_says_so(student_client, take):
    Take.objects.update(analysis={**take.analysis, "unread": 312})
    assert "The 312 strokes after that are kept, but not looked at." in page_of(
        student_client, take
    )


def test_a_take_that_is_read_to_its_end_says_nothing_of_that(student_client, take):
    assert "not looked at" not in page_of(student_client, take)


def test_keys_that_mean_nothing_lead_to_the_kit_map(student_client, student, variation):
    events = [*strokes_of(variation.as_fill, 80), [9000, 99, 80]]
    page = page_of(student_client, taken(student, variation, events=events, source="web midi"))
    assert "99 (1 stroke)" in page


# --- the tempo that somebody knows ---------------------------------------------------


@pytest.fixture
def even(student):
    """Even strokes without a click, asked for at 120: quarters at 240, or eighths at 120."""
    events = [[250.0 * k, 38, 80] for k in range(16)]
    return taken(student, None, events=events, click=None, tempo=120)


def say(client, take, typed):
    with_its_file = client.post(address("take-tempo", take), {"said_tempo": typed}, follow=True)
    analyse_take(take.pk)
    take.refresh_from_db()
    return with_its_file


@pytest.mark.parametrize("client", ["student_client", "teacher_client"])
def test_a_take_is_read_at_the_stated_tempo(client, even, request):
    client = request.getfixturevalue(client)
    say(client, even, "60")
    assert even.analysis["grid"]["tempo"] == pytest.approx(60, rel=0.02)
    page = page_of(client, even)
    assert "Read at 60, as was said" in page
    assert ", at 60." in page


def test_an_empty_tempo_reads_it_as_it_goes(student_client, even):
    say(student_client, even, "60")
    say(student_client, even, "")
    assert even.said_tempo is None
    assert even.analysis["grid"]["tempo"] == pytest.approx(120, rel=0.02)


@pytest.mark.parametrize("typed", ["0", "29", "241", "fast", "8.5", "9" * 400])
def test_an_impossible_tempo_is_refused_beside_its_field(student_client, even, typed):
    answer = say(student_client, even, typed)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "Give a tempo from 30 to 240" in page
    assert f'value="{typed}"' in page
    assert even.said_tempo is None


# --- lists ---------------------------------------------------------------------------


def test_a_student_sees_their_takes_and_can_remove_one(student_client, take):
    assert str(take.pk) in student_client.get(address("takes")).content.decode()
    student_client.post(address("take-remove", take.pk))
    student_client.get(address("takes"))  # says that it is removed, and offers to undo that
    assert str(take.pk) not in student_client.get(address("takes")).content.decode()
    student_client.post(address("take-restore", take.pk))
    assert Take.objects.kept().filter(pk=take.pk).exists()


def test_a_classmate_sees_nothing_of_it(classmate_client, take):
    assert classmate_client.get(address("take", take.pk)).status_code == 404
    assert classmate_client.post(address("take-remove", take.pk)).status_code == 404


def test_a_long_list_takes_as_many_queries_as_a_short_one(
    student_client, student, variation, django_assert_num_queries, django_assert_max_num_queries
):
    taken(student, variation)
    with django_assert_max_num_queries(8) as few:
        student_client.get(address("takes"))
    for _ in range(4):
        taken(student, variation)
    with django_assert_num_queries(len(few)):
        student_client.get(address("takes"))


# --- files ---------------------------------------------------------------------------


def send(client, data: bytes, name: str = "take.mid", **more):
    sent = {"file": SimpleUploadedFile(name, data), "meter": "4/4", **more}
    return client.post(address("take-upload"), sent)


def test_a_midi_file_becomes_a_take(student_client, variation):
    data = midi_file(strokes_of(variation.as_fill, 80))
    answer = send(student_client, data, variation=variation.pk)
    take = Take.objects.get()
    assert answer.url == address("take", take.pk)
    assert (take.file_name, take.variation) == ("take.mid", variation)


def test_a_file_sent_by_a_double_click_is_one_take(student_client, variation):
    data, once = midi_file(strokes_of(variation.as_fill, 80)), uuid.uuid4()
    answers = [send(student_client, data, take=once) for _ in range(2)]
    assert {answer.url for answer in answers} == {address("take", once)}
    assert Take.objects.count() == 1


def test_another_students_take_is_not_touched_by_its_id(classmate_client, take):
    answer = send(classmate_client, midi_file([[0, 38, 80]]), take=take.pk)
    assert answer.status_code == 422
    assert "already a take with this id" in answer.content.decode()


def test_a_bar_entered_by_a_double_click_is_one_take(teacher_client, student):
    data = {"tempo": 90, "times": 1, "at-0-1": "snare", "take": uuid.uuid4()}
    for _ in range(2):
        lesson(teacher_client, student, data)
    assert Take.objects.count() == 1
    answer = lesson(teacher_client, student, data | {"at-0-1": "crash"})
    assert "already a take with this id" in answer.content.decode()


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"", "The file is empty"),
        (b"%PDF-1.7", "MIDI"),
        (b"PK\x03\x04aaaa", "not a MIDI file"),
        (b"<xml/>", "not a MIDI file"),
        (b"<xml/>" * 100_000, "not a MIDI file"),
        (b"%PDF-1.7", "not a MIDI file"),
        (b"\x89PNG\r\n\x1a\n", "not a MIDI file"),
        (b"RIFF\x00\x00\x00\x00WAVE", "not a MIDI file"),
        (b"12 beats", "not a MIDI file"),
        (b"MThd" + b"\0" * 500_000, "may have up to"),
    ],
)
def test_a_bad_file_is_refused_beside_its_field(student_client, data, message):
    answer = send(student_client, data)
    assert answer.status_code == 422
    assert message in answer.content.decode()
    assert not Take.objects.exists()


def test_no_file_at_all_is_refused(student_client):
    answer = student_client.post(address("take-upload"), {"meter": "4/4"})
    assert "Choose the MIDI file" in answer.content.decode()


def test_a_fill_of_another_student_cannot_be_named(classmate_client, variation):
    answer = send(classmate_client, midi_file([[0, 38, 80]]), variation=variation.pk)
    assert "This fill is not yours any more" in answer.content.decode()


def test_nobody_records_another_students_fill(classmate_client, variation):
    assert classmate_client.get(address("record") + f"?fill={variation.pk}").status_code == 404


# --- the kit -------------------------------------------------------------------------


def test_what_differs_from_the_usual_is_kept_of_a_kit(student_client, student):
    student_client.post(address("kit-map"), {"key-38": "snare", "key-60": "high tom"})
    assert KitMap.objects.get(student=student).surfaces == {60: "high tom"}


@pytest.mark.parametrize("sent", [{"key-38": "gong"}, {"key-60": "<b>"}])
def test_a_surface_that_is_none_is_refused_beside_its_key(student_client, sent):
    answer = student_client.post(address("kit-map"), sent)
    assert answer.status_code == 422
    assert not KitMap.objects.exists()


def test_keys_that_are_none_are_left_out(student_client, student):
    student_client.post(address("kit-map"), {"key-128": "snare", "key-x": "snare"})
    assert KitMap.objects.get(student=student).keys == {}


# --- the lesson ----------------------------------------------------------------------


def lesson(client, student, data, query=""):
    return client.post(address("lesson-take", student.pk) + query, data)


def test_a_teacher_enters_a_free_bar(teacher_client, student):
    data = {"tempo": 90, "times": 4, "at-0-1": "snare", "at-1-4": "high tom", "at-3-1": "crash"}
    lesson(teacher_client, student, data, "?meter=4/4&division=16ths")
    take = Take.objects.get()
    assert (take.source, take.seconds) == ("lesson", round(16 * 60 / 90, 2))
    assert [event[1] for event in take.events] == [38, 48, 49]


def test_a_teacher_enters_how_a_drum_was_struck(teacher_client, student):
    page = teacher_client.get(address("lesson-take", student.pk)).content.decode()
    assert '<option value="open hi-hat">open hi-hat</option>' in page
    data = {"at-0-1": "snare", "at-1-1": "rim shot", "at-2-1": "open hi-hat", "at-3-1": "snare"}
    lesson(teacher_client, student, data | {"tempo": 90, "times": 1}, "?meter=4/4&division=eighths")
    assert [key for _, key, _ in Take.objects.get().events] == [38, 40, 46, 38]


def test_what_was_entered_is_read_back_as_it_was_entered(teacher_client, student, variation):
    fill = variation.as_fill
    data = {"tempo": 80, "times": 1}
    for note, stroke in zip(fill.bar.sounded, fill.strokes, strict=True):
        data[f"at-{note.onset.numerator}-{note.onset.denominator}"] = str(stroke.surface)
    lesson(teacher_client, student, data, f"?fill={variation.pk}")
    take = taken_again()
    assert [note["outcome"] for note in take.analysis["attempts"][0]["notes"]] == ["right"] * 12
    assert Fill.from_json(take.fills[0]).bar == fill.bar


def together_on_one(variation: AssignedVariation) -> Fill:
    """The fill with both hands and a foot on its first note."""
    fill = variation.as_fill
    first = stroke_of([Hit(Surface.SNARE), Hit(Surface.FLOOR_TOM), Hit(Surface.BASS_DRUM, "RF")])
    variation.fill = Fill(fill.bar, (first, *fill.strokes[1:])).to_json()
    variation.save()
    return AssignedVariation.objects.get(pk=variation.pk).as_fill


def test_a_fill_with_strokes_together_stands_in_the_grid_and_is_read_back(
    teacher_client, student, variation
):
    fill = together_on_one(variation)
    query = f"?fill={variation.pk}"
    form = teacher_client.get(address("lesson-take", student.pk) + query).context["form"]
    data = {name: form[name].value() for name in form.fields if name.startswith("at-")}
    assert data["at-0-1"] == "snare + floor tom + bass drum"
    lesson(teacher_client, student, data | {"tempo": 80, "times": 1}, query)
    take = taken_again()
    assert [note["outcome"] for note in take.analysis["attempts"][0]["notes"]] == ["right"] * 12
    assert Fill.from_json(take.fills[0]).strokes[0].surfaces == fill.strokes[0].surfaces


def test_a_hand_that_did_not_come_is_named_by_itself(
    student_client, teacher_client, student, variation
):
    fill = together_on_one(variation)
    data = {
        f"at-{note.onset.numerator}-{note.onset.denominator}": " + ".join(stroke.surfaces)
        for note, stroke in zip(fill.bar.sounded, fill.strokes, strict=True)
    }
    data |= {"at-0-1": "snare + bass drum", "tempo": 80, "times": 1}
    lesson(teacher_client, student, data, f"?fill={variation.pk}")
    page = page_of(student_client, taken_again())
    assert "1: floor tom missed" in page
    assert "11 of 12 right" in page


def test_surfaces_in_any_order_are_struck_at_once(teacher_client, student):
    data = {"tempo": 90, "times": 1, "at-0-1": "bass drum + crash"}
    lesson(teacher_client, student, data)
    assert [(ms, key) for ms, key, _ in Take.objects.get().events] == [(0, 49), (0, 36)]


@pytest.mark.parametrize(
    ("struck", "error"),
    [
        ("snare + ride + crash", "A player has two hands"),
        ("snare + snare", "The snare is struck twice at once"),
        ("snare + gong", "“snare + gong” is not on this kit."),
        (" + ", "is not on this kit"),
    ],
)
def test_what_nobody_strikes_at_once_is_refused_beside_its_place_and_not_lost(
    teacher_client, student, struck, error
):
    answer = lesson(teacher_client, student, {"tempo": 90, "times": 1, "at-0-1": struck})
    assert answer.status_code == 422
    assert error in str(answer.context["form"].errors["at-0-1"])
    assert not Take.objects.exists()
    if "gong" not in struck and struck.strip() != "+":
        assert f'<option value="{struck}" selected>' in answer.content.decode()


def test_feet_that_keep_going_are_told_by_themselves(student_client, student, variation):
    fill = variation.as_fill
    feet = typed_ostinato("hi-hat foot on 1 and 3", fill.bar.meter, {Surface.HI_HAT_FOOT: "1 3"})
    variation.fill = replace(fill, ostinato=feet).to_json()
    variation.save()
    quarter = 60_000 / 80
    foot = PLACEMENTS[Surface.HI_HAT_FOOT].key
    events = sorted([*strokes_of(fill, 80), [strokes_of(fill, 80)[0][0] + 2 * quarter, foot, 80]])
    page = page_of(student_client, taken(student, variation, events=events))
    assert "The feet kept going: 1 of 2, hi-hat foot missed at 1." in page
    assert "12 of 12 right" in page


def test_feet_that_keep_going_are_not_missed_where_nobody_enters_them(
    student_client, teacher_client, student, variation
):
    fill = variation.as_fill
    feet = typed_ostinato("hi-hat foot on 1", fill.bar.meter, {Surface.HI_HAT_FOOT: "1"})
    variation.fill = replace(fill, ostinato=feet).to_json()
    variation.save()
    query = f"?fill={variation.pk}"
    form = teacher_client.get(address("lesson-take", student.pk) + query).context["form"]
    data = {name: form[name].value() for name in form.fields if name.startswith("at-")}
    lesson(teacher_client, student, data | {"tempo": 80, "times": 1}, query)
    page = page_of(student_client, taken_again())
    assert "12 of 12 right" in page
    assert "The feet" not in page


def taken_again() -> Take:
    take = Take.objects.get()
    analyse_take(take.pk)
    take.refresh_from_db()
    return take


@pytest.mark.parametrize(
    ("data", "error"),
    [
        ({"tempo": 90, "times": 1}, "Nothing is struck yet"),
        ({"tempo": 9, "times": 1, "at-0-1": "snare"}, "from 30 to 240"),
        ({"tempo": 90, "times": 99, "at-0-1": "snare"}, "from 1 to 64"),
        ({"tempo": 90, "times": 1, "at-0-1": "gong"}, "is not on this kit"),
    ],
)
def test_a_bar_that_cannot_be_is_refused_and_kept_on_the_page(teacher_client, student, data, error):
    answer = lesson(teacher_client, student, data)
    assert answer.status_code == 422
    assert error in answer.content.decode()


@pytest.mark.parametrize(
    "query", ["?meter=6/8", "?meter=7/8&division=eighths", "?division=nonsense"]
)
def test_every_meter_has_a_grid(teacher_client, student, query):
    assert teacher_client.get(address("lesson-take", student.pk) + query).status_code == 200


def test_a_fill_of_another_student_has_no_grid(teacher_client, student, classmate):
    theirs = first_fill(give(classmate))
    query = f"?fill={theirs.pk}"
    assert teacher_client.get(address("lesson-take", classmate.pk) + query).status_code == 200
    assert teacher_client.get(address("lesson-take", student.pk) + query).status_code == 404


@pytest.mark.parametrize("query", ["?meter=99/1", "?fill=999999", "?meter=x"])
def test_a_grid_that_cannot_be_is_not_found(teacher_client, student, query):
    assert teacher_client.get(address("lesson-take", student.pk) + query).status_code == 404
