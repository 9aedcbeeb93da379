"""Keeping takes and having them looked at."""

import io
import uuid
from datetime import timedelta
from functools import cache

import mido
import pytest
from django.utils import timezone

from assignments.models import KitMap, Take
from assignments.takes import take_analysis
from assignments.takes.take_store import (
    MOST_SECONDS,
    TakeInput,
    TakenDifferentlyError,
    create_take,
    create_take_from_file,
    learn_kit,
    reanalyse,
)
from assignments.tasks import sweep_takes
from rhythms.engine import Fill
from tests.assignments.making import strokes_of, taken

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("one_cast")]
read_once = cache(take_analysis.strokes)


@pytest.fixture(autouse=True)
def _each_file_is_read_once(monkeypatch):
    """Reading it, in a process of its own, is what takes long."""
    monkeypatch.setattr(take_analysis, "strokes", read_once)


def midi_file(
    events, tempo: float = 80, *, channel: int = 9, meter=(4, 4), after: float | None = None
) -> bytes:
    """Written by a general-purpose library; `events` are [ms, key, velocity].

    `after` is the tempo from a quarter past the last of them on, where it changes.
    """
    file = mido.MidiFile(ticks_per_beat=480)
    track = mido.MidiTrack()
    file.tracks.append(track)
    track.append(mido.MetaMessage("set_tempo", tempo=mido.bpm2tempo(tempo)))
    track.append(mido.MetaMessage("time_signature", numerator=meter[0], denominator=meter[1]))
    now = 0
    for ms, key, velocity in events:
        tick = round(ms * tempo * 480 / 60_000)
        track.append(
            mido.Message("note_on", channel=channel, note=key, velocity=velocity, time=tick - now)
        )
        now = tick
    if after:
        track.append(mido.MetaMessage("set_tempo", tempo=mido.bpm2tempo(after), time=480))
    data = io.BytesIO()
    file.save(file=data)
    return data.getvalue()


def test_a_take_of_a_fill_played_exactly_has_every_note_right(take, variation):
    (attempt,) = take.analysis["attempts"]
    assert {note["outcome"] for note in attempt["notes"]} == {"right"}
    assert Fill.from_json(take.fills[0]).without_hands() == variation.as_fill.without_hands()


def test_what_was_played_is_engraved(take):
    assert take.renderings.count() == len(take.fills) == 1


def test_the_raw_events_are_kept_as_they_came(take, variation):
    assert take.events == strokes_of(variation.as_fill, 80)


def test_sending_the_same_take_again_keeps_it_once(student, variation):
    caught = TakeInput("pads", strokes_of(variation.as_fill, 80), variation=variation, tempo=80)
    first, second = create_take(student, caught), create_take(student, caught)
    assert (first[0].pk, first[1], second[1]) == (second[0].pk, True, False)
    assert Take.objects.count() == 1


def test_another_take_under_a_known_id_is_refused(student, take):
    with pytest.raises(TakenDifferentlyError):
        create_take(student, TakeInput("pads", [[0, 38, 90]], id=take.pk))


def test_nobody_gets_at_another_students_take_by_its_id(classmate, take):
    with pytest.raises(TakenDifferentlyError):
        create_take(classmate, TakeInput("pads", take.events, id=take.pk))


def test_the_worker_looks_at_a_take_once_it_is_committed(
    student, variation, django_capture_on_commit_callbacks
):
    with django_capture_on_commit_callbacks(execute=True):
        take, _ = create_take(student, TakeInput("pads", strokes_of(variation.as_fill, 80)))
    take.refresh_from_db()
    assert take.state == Take.State.DONE


def test_a_midi_file_is_read_and_let_go(student, variation, django_capture_on_commit_callbacks):
    data = midi_file(strokes_of(variation.as_fill, 92), 92)
    with django_capture_on_commit_callbacks(execute=True):
        take = create_take_from_file(student, data, "take 1.mid", variation=variation)
    take.refresh_from_db()
    assert (take.state, take.tempo, take.upload) == (Take.State.DONE, 92, None)
    assert take.analysis["attempts"][0]["notes"][0]["outcome"] == "right"


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"MThd", "damaged"),
        (midi_file([[0, 38, 80]])[:-20], "damaged"),
        (midi_file([]), "No note is played"),
        (b"hello, I am no MIDI file", "neither"),
        (b"", "empty"),
    ],
)
def test_a_bad_file_says_what_is_wrong_and_keeps_what_was_sent(student, data, message):
    take = create_take_from_file(student, data, "bad.mid")
    take_analysis.analyse_take(take.pk)
    take.refresh_from_db()
    assert take.state == Take.State.FAILED
    assert message in take.error
    assert bytes(take.upload) == data


@pytest.mark.parametrize(("after", "click"), [(None, {"tempo": 92, "start": 0.0}), (60, None)])
def test_a_file_has_a_click_where_its_tempo_never_changes(student, variation, after, click):
    data = midi_file(strokes_of(variation.as_fill, 92), 92, after=after)
    take = create_take_from_file(student, data, "x.mid", variation=variation)
    take_analysis.analyse_take(take.pk)
    take.refresh_from_db()
    assert (take.tempo, take.click) == (92, click)


def test_a_file_at_a_tempo_that_nobody_plays_has_no_click(student):
    take = create_take_from_file(student, midi_file([[0, 38, 80], [90, 38, 80]], 29_000), "x.mid")
    take_analysis.analyse_take(take.pk)
    take.refresh_from_db()
    assert (take.state, take.tempo, take.click) == (Take.State.DONE, None, None)


def test_of_a_long_file_everything_is_kept(student):
    events = [[500 * k, 38, 80] for k in range(9)] + [[MOST_SECONDS * 1000 + 500, 42, 80]]
    take = create_take_from_file(student, midi_file(events), "long.mid")
    take_analysis.analyse_take(take.pk)
    take.refresh_from_db()
    assert (len(take.events), take.analysis["unread"]) == (10, 1)


def test_a_file_of_more_strokes_than_are_kept_says_so_and_is_kept(student, monkeypatch):
    monkeypatch.setattr(take_analysis, "MOST_OF_A_FILE", 2)
    take = create_take_from_file(student, midi_file([[k, 38, 80] for k in (0, 90, 180)]), "x.mid")
    take_analysis.analyse_take(take.pk)
    take.refresh_from_db()
    assert "The file has 3 strokes, and a take up to 2. Send it in parts." in take.error
    assert take.upload


def test_touch_is_less_steady_than_a_wire_and_a_wire_than_a_file(student):
    """Common practice; the lesson's grid is exact."""
    takes = [
        create_take(student, TakeInput(source, [[0, 38, 90]]))[0]
        for source in ("pads", "web midi", "midi file", "lesson")
    ]
    jitter = [take.jitter for take in takes]
    assert jitter == sorted(set(jitter), reverse=True)
    assert jitter[-1] == 0


def test_a_free_file_brings_its_own_meter(student, variation):
    take = create_take_from_file(
        student, midi_file([[k * 300, 38, 80] for k in range(12)], meter=(3, 4)), "x"
    )
    take_analysis.analyse_take(take.pk)
    take.refresh_from_db()
    assert take.meter == "3/4"


@pytest.mark.parametrize("source", ["web midi", "midi file"])
def test_what_a_student_showed_of_their_kit_is_used_for_takes_of_before(
    student, variation, source, django_capture_on_commit_callbacks
):
    odd = [[ms, 100, velocity] for ms, _, velocity in strokes_of(variation.as_fill, 80)]
    take = taken(student, variation, events=odd, source=source)
    assert take.analysis["unknown"] == {"100": len(odd)}
    with django_capture_on_commit_callbacks(execute=True):
        learn_kit(student, {100: "snare"})
    take.refresh_from_db()
    assert take.analysis["unknown"] == {}
    assert KitMap.objects.get(student=student).surfaces == {100: "snare"}


def test_pads_mean_what_they_say_whatever_the_kit_sends(student, variation):
    learn_kit(student, {38: "cowbell"})
    take = taken(student, variation)
    assert take.analysis["attempts"][0]["notes"][0]["outcome"] == "right"


def test_rules_that_were_changed_since_are_not_held_against_a_take(student, variation):
    rule_set = variation.assignment.rule_set
    rule_set.rules = [{"rule": "placement", "surfaces": ["cowbell"]}]
    rule_set.save()
    assert taken(student, variation).analysis["kept"] == []


def test_the_rules_of_the_fill_are_held_against_a_take(take, variation):
    (rule,) = take.analysis["kept"]
    assert rule["sentence"] in variation.assignment.sentences
    assert (rule["kept"], rule["broken"]) == (len(variation.as_fill.strokes), 0)


def test_whatever_goes_wrong_gives_an_error_and_can_be_tried_again(
    student, variation, monkeypatch, django_capture_on_commit_callbacks
):
    take, _ = create_take(student, TakeInput("pads", strokes_of(variation.as_fill, 80)))

    def stop(_take):
        raise MemoryError

    with monkeypatch.context() as patched:
        patched.setattr(take_analysis, "analysis_of", stop)
        take_analysis.analyse_take(take.pk)
    take.refresh_from_db()
    assert (take.state, "MemoryError" in take.error) == (Take.State.FAILED, True)
    assert "Look again later" in take.error
    with django_capture_on_commit_callbacks(execute=True):
        reanalyse(take)
    take.refresh_from_db()
    assert take.state == Take.State.DONE


def test_a_take_that_the_worker_lost_is_swept_up(student, variation):
    take, _ = create_take(student, TakeInput("pads", strokes_of(variation.as_fill, 80)))
    assert sweep_takes() == 0
    Take.objects.update(asked_at=timezone.now() - timedelta(minutes=5))
    assert sweep_takes() == 1
    take.refresh_from_db()
    assert take.state == Take.State.DONE


def test_a_take_goes_with_its_student(take):
    student = take.student
    student.assignments.all().delete()
    student.delete()
    assert not Take.objects.exists()


def test_a_take_outlives_its_fill(take, variation):
    variation.delete()
    take.refresh_from_db()
    assert take.variation is None
    Take.objects.ask_for([take.pk])
    take_analysis.analyse_take(take.pk)
    take.refresh_from_db()
    assert len(take.fills) == 1


def test_looking_at_a_take_that_is_gone_does_nothing(db):
    take_analysis.analyse_take(uuid.uuid4())


def test_a_take_that_is_asked_for_ten_times_is_looked_at_once(student, variation, monkeypatch):
    looks = []
    real = take_analysis.analysis_of
    monkeypatch.setattr(take_analysis, "analysis_of", lambda one: looks.append(one) or real(one))
    take, _ = create_take(student, TakeInput("pads", strokes_of(variation.as_fill, 80)))
    for _ in range(10):
        take_analysis.analyse_take(take.pk)
    assert looks == [take]


@pytest.mark.parametrize("ends_well", [True, False])
def test_what_was_found_before_a_take_was_asked_for_once_more_is_not_the_last_word(
    student, variation, monkeypatch, ends_well
):
    """A worker that was slow may end after the one that knows what was said meanwhile."""
    take, _ = create_take(student, TakeInput("pads", strokes_of(variation.as_fill, 80)))
    real = take_analysis.analysis_of

    def overtaken(one):
        Take.objects.ask_for([one.pk])
        if not ends_well:
            raise MemoryError
        return real(one)

    with monkeypatch.context() as patched:
        patched.setattr(take_analysis, "analysis_of", overtaken)
        take_analysis.analyse_take(take.pk)
    take.refresh_from_db()
    assert (take.state, take.analysis) == (Take.State.WAITING, None)
    take_analysis.analyse_take(take.pk)
    take.refresh_from_db()
    assert take.state == Take.State.DONE
