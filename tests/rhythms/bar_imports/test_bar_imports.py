"""Bars from files: upload, reading by the worker, picking, naming, keeping."""

from contextlib import closing
from datetime import timedelta
from functools import cache

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from rhythms import tasks
from rhythms.bar_imports import import_reader
from rhythms.bar_imports.forms import LIMITS, MOST_WAITING
from rhythms.bar_imports.import_store import MOST_BARS, different_bars, proposed_names
from rhythms.bar_imports.measure_text import notes, where
from rhythms.engine import Bar, Fill, Stroke, Surface
from rhythms.engine.fills.fill import snare_fill
from rhythms.models import BarImport
from rhythms.models.bar_import import PATIENCE
from rhythms.models.named import LONGEST_NAME
from rhythms.notation import midi, musicxml
from rhythms.notation.reading import Reading, ReadMeasure
from rhythms.renderings import visibility
from rhythms.renderings.rendering_store import rendering_for
from studio.retention import IMPORT_KEPT_FOR
from studio.uploads import MOST_BYTES

NEW, ANOTHER = "1 trip let 2 & (3) 4", "1 2 trip let 3 (4)"
UPLOAD = "/bars/import/"


def scores(*lines: str) -> bytes:
    """One score with a measure for each count line."""
    texts = [musicxml(snare_fill(Bar.from_counts(line))) for line in lines]
    start, end = "<measure", "</measure>"
    written = [text[text.index(start) : text.index(end) + len(end)] for text in texts]
    first = texts[0]
    return (
        first[: first.index(start)]
        + "".join(
            measure.replace('number="1"', f'number="{number}"', 1)
            for number, measure in enumerate(written, start=1)
        )
        + first[first.index(end) + len(end) :]
    ).encode()


def upload(client, data: bytes, name: str = "Chapter 2.musicxml", **more):
    return client.post(UPLOAD, {"file": SimpleUploadedFile(name, data), **more})


def address(imported: BarImport) -> str:
    return reverse("rhythms:bar-import-file", args=[imported.pk])


read_once = cache(import_reader.read)


@pytest.fixture
def brought(teacher_client, studio, django_capture_on_commit_callbacks, monkeypatch) -> BarImport:
    """A file with two new bars, one of them twice, and one that the library has.

    A process is started to read it for the first test alone; the same bytes read the same.
    """
    with monkeypatch.context() as patch, django_capture_on_commit_callbacks(execute=True):
        patch.setattr(import_reader, "read", read_once)
        upload(teacher_client, scores(NEW, "1 2 3 4", NEW, ANOTHER))
    return studio.bar_imports.get()


def pick(client, imported: BarImport, **sent):
    names = {f"name-{place}": f"Bar {place}" for place in range(3)}
    sent = {key.replace("_", "-"): value for key, value in sent.items()}
    return client.post(address(imported), names | sent)


# --- upload --------------------------------------------------------------------------


def test_an_uploaded_file_is_read_by_the_worker(brought):
    assert brought.state == BarImport.State.DONE
    assert [measure.bar.counts() for measure in brought.read.measures] == [
        NEW,
        "1 2 3 4",
        NEW,
        ANOTHER,
    ]


def test_a_file_that_was_put_right_is_another_one_under_the_same_name(teacher_client, studio):
    for data in (b"<one/>", b"<one/>", b"<two/>"):
        upload(teacher_client, data, csrfmiddlewaretoken="of one page")
    assert studio.bar_imports.count() == 2


@pytest.mark.parametrize(("asked", "read"), [({}, "1 2 3 4"), ({"hands_only": "on"}, "1 (2) 3 4")])
def test_the_hands_alone_are_read_where_that_was_asked_for(
    teacher_client, studio, django_capture_on_commit_callbacks, asked, read
):
    bar = Bar.from_counts("1 2 3 4")
    strokes = [Stroke(Surface.SNARE) for _ in bar.sounded]
    strokes[1] = Stroke(Surface.BASS_DRUM)
    with django_capture_on_commit_callbacks(execute=True):
        upload(teacher_client, midi(Fill(bar, tuple(strokes))), **asked)
    (measure,) = studio.bar_imports.get().read.measures
    assert measure.bar.counts() == read


def test_a_broker_that_is_away_breaks_no_upload(
    teacher_client, studio, monkeypatch, django_capture_on_commit_callbacks
):
    def away(_):
        raise ConnectionError("no broker")

    monkeypatch.setattr(tasks.read_file, "delay", away)
    with django_capture_on_commit_callbacks(execute=True):
        response = upload(teacher_client, scores(NEW))
    assert response.status_code == 302
    assert studio.bar_imports.get().state == BarImport.State.WAITING


def test_the_bytes_go_once_they_are_read(brought):
    assert bytes(brought.data) == b""


def test_upload_leads_to_the_page_of_the_file(teacher_client, studio):
    response = upload(teacher_client, midi(snare_fill(Bar.from_counts("1 2 3 4"))))
    assert response.url == address(studio.bar_imports.get())


def test_the_web_process_reads_nothing(teacher_client, studio, monkeypatch):
    """Nothing but the first bytes is looked at before the transaction is through."""
    monkeypatch.setattr(import_reader, "read", lambda *_, **__: pytest.fail("it was read"))
    upload(teacher_client, scores(NEW))
    assert studio.bar_imports.get().state == BarImport.State.WAITING


@pytest.mark.parametrize(
    ("data", "error"),
    [
        (b"", "The file is empty."),
        (b"\x89PNG\r\n\x1a\n", "This is neither MusicXML"),
        (b"%PDF-1.7", "A PDF is a picture of the page"),
        (b"<score-partwise>" + b" " * 5_000_000, "The file has 5 MB; a MusicXML file may have up"),
        (b"MThd" + bytes(1_000_000), "The file has 1 MB; a MIDI file may have up to 400 KB."),
        (b"<" + b" " * (MOST_BYTES + 3_000_000), "a MusicXML file may have up to 4 MB."),
    ],
)
def test_what_is_no_file_for_this_is_refused_beside_the_field(teacher_client, studio, data, error):
    response = upload(teacher_client, data)
    assert error in str(response.context["form"].errors["file"])
    assert not studio.bar_imports.exists()


def test_an_upload_without_a_file_is_refused(teacher_client):
    response = teacher_client.post(UPLOAD, {})
    assert "Choose a file" in str(response.context["form"].errors["file"])


def test_what_is_beyond_every_form_is_not_stored(teacher_client, rf):
    """A file of any size arrives cut off, so it fills neither disk nor memory."""
    request = rf.post(UPLOAD, {"file": SimpleUploadedFile("a.xml", b"<" * (MOST_BYTES * 2))})
    with closing(request):
        assert MOST_BYTES * 0.9 < len(request.FILES["file"].read()) <= MOST_BYTES


def test_a_studio_cannot_keep_the_worker_to_itself(teacher_client, studio):
    for _ in range(MOST_WAITING):
        studio.bar_imports.create(name="a.mid", data=b"MThd")
    response = upload(teacher_client, scores(NEW))
    assert "still being read" in str(response.context["form"].errors["file"])


# --- waiting and failing -------------------------------------------------------------


def test_a_page_that_waits_looks_again(teacher_client, bar_import):
    page = teacher_client.get(address(bar_import)).content.decode()
    state = reverse("rhythms:bar-import-state", args=[bar_import.pk])
    assert f'hx-get="{state}"' in page
    assert teacher_client.get(state).status_code == 204


def test_a_page_that_waits_is_loaded_anew_once_the_file_is_read(teacher_client, brought):
    state = teacher_client.get(reverse("rhythms:bar-import-state", args=[brought.pk]))
    assert state.headers["HX-Refresh"] == "true"


def test_a_file_that_cannot_be_read_says_why(teacher_client, bar_import):
    import_reader.read_import(str(bar_import.pk))
    page = teacher_client.get(address(bar_import)).content.decode()
    assert "The MIDI file is damaged or cut off. Export it once more." in page


def test_a_file_that_no_worker_survived_is_given_up(bar_import, monkeypatch):
    def dies(*_, **__):
        raise SystemExit

    monkeypatch.setattr(import_reader, "read", dies)
    for _ in range(2):
        with pytest.raises(SystemExit):
            import_reader.read_import(str(bar_import.pk))
    import_reader.read_import(str(bar_import.pk))
    bar_import.refresh_from_db()
    assert bar_import.state == BarImport.State.FAILED
    assert "failed more than once" in bar_import.error


def test_a_file_is_read_once(brought, monkeypatch):
    monkeypatch.setattr(import_reader, "read", lambda *_, **__: pytest.fail("read again"))
    tasks.read_file(str(brought.pk))


def test_the_sweep_asks_again_for_a_file_that_got_lost(bar_import):
    late = timezone.now() - PATIENCE - timedelta(seconds=1)
    BarImport.objects.update(asked_at=late)
    tasks.sweep()
    bar_import.refresh_from_db()
    assert bar_import.state == BarImport.State.FAILED  # tried, and found damaged


def test_the_sweep_forgets_old_files(bar_import):
    BarImport.objects.update(created_at=timezone.now() - IMPORT_KEPT_FOR - timedelta(days=1))
    tasks.sweep()
    assert not BarImport.objects.exists()


# --- picking -------------------------------------------------------------------------


def test_each_different_bar_is_shown_once_with_where_it_stands(teacher_client, brought):
    rows = teacher_client.get(address(brought)).context["rows"]
    assert [(row["found"].bar.counts(), row["where"]) for row in rows] == [
        (NEW, "Measures 1, 3"),
        ("1 2 3 4", "Measure 2"),
        (ANOTHER, "Measure 4"),
    ]


def test_each_bar_is_engraved(teacher_client, brought, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        teacher_client.get(address(brought))
    assert teacher_client.get(address(brought)).content.count(b"<svg") == 3


def test_a_bar_that_the_library_has_is_named_as_such(teacher_client, brought, studio):
    known = studio.bars.get(counts="1 2 3 4", meter="4/4").name
    rows = teacher_client.get(address(brought)).context["rows"]
    assert [row["found"].known_as for row in rows] == ["", known, ""]


def test_picked_bars_are_kept_under_their_names(teacher_client, brought, studio):
    pick(teacher_client, brought, keep_0="on", keep_2="on", name_2="Two", reference="Green, p. 2")
    kept = studio.bars.filter(reference="Green, p. 2")
    assert [(bar.name, bar.counts) for bar in kept] == [("Bar 0", NEW), ("Two", ANOTHER)]


def test_a_bar_kept_is_the_bar_that_was_read(teacher_client, brought, studio):
    pick(teacher_client, brought, keep_0="on")
    assert studio.bars.get(name="Bar 0").bar == Bar.from_counts(NEW)


@pytest.mark.parametrize(
    ("sent", "field", "message"),
    [
        ({}, "__all__", "Tick the bars that you want to keep."),
        ({"keep_0": "on", "name_0": ""}, "name-0", "Give it a name."),
        ({"keep_0": "on", "name_0": "x" * 81}, "name-0", "at most 80 characters"),
        ({"keep_0": "on", "keep_2": "on", "name_2": "BAR 0"}, "name-2", "Another bar here"),
        ({"keep_0": "on", "name_0": "quarters"}, "name-0", "There is already a bar “quarters”."),
    ],
)
def test_a_mistake_stands_beside_its_field_and_nothing_is_kept(
    teacher_client, brought, studio, sent, field, message
):
    before = studio.bars.count()
    response = pick(teacher_client, brought, **sent)
    assert message in str(response.context["form"].errors[field])
    assert studio.bars.count() == before


def test_what_was_typed_is_kept_with_a_mistake(teacher_client, brought):
    response = pick(teacher_client, brought, keep_0="on", name_0="", name_2="Mine")
    page = response.content.decode()
    assert 'value="Mine"' in page
    assert page.count(" checked") == 1


def test_a_name_is_not_asked_for_where_nothing_is_kept(teacher_client, brought, studio):
    assert pick(teacher_client, brought, keep_0="on", name_1="").status_code == 302


def test_one_new_bar_alone_is_ticked(teacher_client, studio, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        upload(teacher_client, scores(NEW), "Line_4.musicxml")
    (row,) = teacher_client.get(address(studio.bar_imports.get())).context["rows"]
    assert row["keep"].initial is True


def test_bars_are_called_after_the_file():
    assert proposed_names("Line 4", 1) == ["Line 4"]
    assert proposed_names("Line 4", 2) == ["Line 4, bar 1", "Line 4, bar 2"]
    assert max(map(len, proposed_names("x" * 200, 12))) == LONGEST_NAME


def test_another_studios_file_is_not_found(other_teacher_client, brought):
    assert other_teacher_client.get(address(brought)).status_code == 404
    assert pick(other_teacher_client, brought, keep_0="on").status_code == 404


def test_the_engraving_of_a_file_is_seen_by_its_studio_alone(rf, brought, studio, other_studio):
    rendering = rendering_for(snare_fill(Bar.from_counts(NEW)), counts=True)
    request = rf.get("/")
    request.student = None
    seen = []
    for request.studio in (studio, other_studio):
        seen.append(visibility.may_see(request, rendering))
    assert seen == [True, False]


def test_the_page_takes_few_queries_however_many_bars(
    teacher_client, studio, django_assert_max_num_queries, django_capture_on_commit_callbacks
):
    lines = [f"{a} {b} 3 {d}" for a in ("1", "1 &") for b in ("2", "2 &") for d in ("4", "4 &")]
    with django_capture_on_commit_callbacks(execute=True):
        upload(teacher_client, scores(*lines))
    page = address(studio.bar_imports.get())
    teacher_client.get(page)
    with django_assert_max_num_queries(8):
        teacher_client.get(page)


# --- words ---------------------------------------------------------------------------


def measure(number: str, part: int = 0, *words: str) -> ReadMeasure:
    return ReadMeasure(part, number, None, words)


def reading(*measures: ReadMeasure, parts: tuple[str, ...] = ("Drums",)) -> Reading:
    return Reading("MIDI", "", parts, measures)


@pytest.mark.parametrize(
    ("numbers", "words"),
    [
        (["4"], "Measure 4"),
        (["1", "2"], "Measures 1, 2"),
        (["1", "2", "3", "5"], "Measures 1 to 3, 5"),
        (["1", "1a", "2"], "Measures 1, 1a, 2"),
    ],
)
def test_places_are_named_in_few_words(numbers, words):
    measures = [measure(number) for number in numbers]
    assert where(reading(*measures), measures) == words


def test_places_name_the_part_where_there_are_several():
    measures = [measure("1"), measure("1", 1)]
    several = reading(*measures, parts=("Flute", ""))
    assert where(several, measures) == "Flute, measure 1; Part 2, measure 1"


def test_the_same_words_stand_once():
    measures = [measure("1", 0, "Too long."), measure("2", 0, "Too long.")]
    assert notes(reading(*measures), measures) == [("Measures 1, 2", "Too long.")]


def test_no_more_bars_are_shown_than_can_be_looked_through():
    many = [
        ReadMeasure(0, str(number), Bar.from_counts(counts_of(number))) for number in range(120)
    ]
    assert len(different_bars(reading(*many))) == MOST_BARS


def counts_of(number: int) -> str:
    """Different for each number under 128: one bit a place."""
    syllables = ["e", "&", "a", "2", "&", "3", "4"]
    struck = [s if number >> bit & 1 else f"({s})" for bit, s in enumerate(syllables)]
    return " ".join(["1", *struck])


def test_a_studio_brings_files_not_without_end(teacher_client, studio):
    BarImport.objects.bulk_create(
        BarImport(studio=studio, name="a.mid", state=BarImport.State.DONE)
        for _ in range(LIMITS[timedelta(hours=1)])
    )
    response = upload(teacher_client, scores(NEW))
    assert "The next one can be sent" in str(response.context["form"].errors["file"])
