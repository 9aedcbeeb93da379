"""Makes the studio that an upgrade is tried on. README.md says how, and why not again.

Run by the code that is to be upgraded *from*, never by later code: it uses that code's pages,
API, worker messages and cache. From the root of the project, with DATABASE_URL (an empty
database), MEDIA_ROOT, REDIS_URL (an empty Redis) and SECRET_KEY in the environment:

    python -m tests.upgrade.make_studio folder

leaves in the folder `facts.json`, `queue.json` and `cache.json`, and the studio in the database.
"""

import base64
import json
import os
import re
import subprocess
import sys
import uuid
from datetime import date, timedelta
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "studio.settings")
os.environ["DEBUG"] = "true"
django.setup()

import redis  # noqa: E402
from celery.beat import Scheduler  # noqa: E402
from django.conf import settings  # noqa: E402
from django.core.files.uploadedfile import SimpleUploadedFile  # noqa: E402
from django.core.management import call_command  # noqa: E402
from django.test import Client  # noqa: E402
from django.urls import reverse  # noqa: E402
from django.utils import timezone  # noqa: E402

from assignments.comfort.zones import comforts  # noqa: E402
from assignments.demo import scenario  # noqa: E402
from assignments.demo.people import fresh_links  # noqa: E402
from assignments.models import AssignedVariation, PracticeEntry, Take  # noqa: E402
from rhythms.models import Rendering  # noqa: E402
from studio.celery import app  # noqa: E402
from studio.models import Student, Studio  # noqa: E402
from tests.upgrade import studio_facts, visiting  # noqa: E402
from tests.upgrade.internals import VERSIONS  # noqa: E402

TODAY = date.fromisoformat(timezone.now().date().isoformat())
DAY = timedelta(days=1)


def main(folder: Path) -> None:
    broker = redis.Redis.from_url(settings.REDIS_URL)
    assert broker.dbsize() == 0, "needs an empty Redis"
    app.conf.task_always_eager = True  # all is made at once, as without a broker …
    call_command("demo", no_serve=True)
    studio = everybody_signs_in()
    teacher = visiting.client_with(studio["teacher"]["session"])
    the_teachers_day(teacher)
    the_students_day(studio)
    studio |= {"moment": timezone.now().isoformat(), "tickets": {}}
    visiting.opened(studio)  # every sheet and file is made once
    assert not Rendering.objects.exclude(state="done").exists()
    app.conf.task_always_eager = False  # … until the worker is stopped for the deploy
    studio["tickets"] = what_waits_for_the_worker(studio, teacher)
    studio |= {
        "moment": timezone.now().isoformat(),
        "commit": subprocess.check_output(["git", "rev-parse", "HEAD"], text=True).strip(),
        "secret_key": settings.SECRET_KEY,
        "versions": VERSIONS,
    }
    pages = visiting.opened(studio)  # also fills the cache, as the last day before a deploy does
    bad = [one for one in pages if one["status"] not in (200, 204, 302)]
    assert not bad, bad
    studio["told"] = studio_facts.told(studio)
    studio["comfort"] = what_stands_out()
    # Audio is too large to be kept here: as after a loss of files, it is made again.
    made = Rendering.objects.filter(state="done").exclude(format="mp3")
    studio["renderings"] = {one.key: str(one.file) for one in made}
    beat = Scheduler(app=app, lazy=True)
    for entry in beat.merge_inplace(settings.CELERY_BEAT_SCHEDULE) or beat.schedule.values():
        beat.apply_async(entry)
    studio["counts"] = studio_facts.counts()
    kept = {"facts": studio, "queue": the_queue(broker), "cache": the_cache(broker)}
    for name, content in kept.items():
        (folder / f"{name}.json").write_text(json.dumps(content, indent=1) + "\n")


def everybody_signs_in() -> dict:
    """The teacher by password, each student by a new personal link."""
    teacher = visiting.client_with()
    fields = {"username": scenario.TEACHER, "password": scenario.PASSWORD}
    to(teacher.post(reverse("studio:sign-in"), fields))
    students = {}
    for person, secret in fresh_links(Studio.objects.get()):
        student = Student.objects.get(nickname=person.nickname)
        device = visiting.client_with()
        to(device.post(reverse("studio:enter", args=[secret])))
        session = device.cookies["sessionid"].value
        students[str(student.pk)] = {
            "nickname": student.nickname,
            "link": secret,
            "session": session,
        }
    signed_in = {"session": teacher.cookies["sessionid"].value}
    return {"teacher": signed_in | {"email": scenario.TEACHER}, "students": students}


# --- the teacher ---------------------------------------------------------------------


def the_teachers_day(teacher: Client) -> None:
    bars_from_a_file(teacher)
    away_from_a_comfort_zone(teacher, student("Luz"))
    takes_in_the_lesson(teacher, student("Noor"))
    confirmed_and_taken_back(teacher)
    removed(teacher)


def bars_from_a_file(teacher: Client) -> None:
    """One file with a bar that is kept, one that could not be read, one with nothing picked."""
    bar = Studio.objects.get().bars.get(name="Dotted eighths and 16ths")
    score = teacher.get(reverse("rhythms:bar-file", args=[bar.pk, "musicxml"])).content
    for name, data in (("Line 12.musicxml", score), ("Torn.mid", b"MThd\0\0\0\6\0\0\0\1\0")):
        to(teacher.post(reverse("rhythms:bar-import"), {"file": SimpleUploadedFile(name, data)}))
    read = Studio.objects.get().bar_imports.get(name="Line 12.musicxml")
    page = reverse("rhythms:bar-import-file", args=[read.pk])
    to(teacher.post(page, {"keep-0": "on", "name-0": "Line 12", "reference": "Own sheet 4"}))


def away_from_a_comfort_zone(teacher: Client, whose: Student) -> None:
    """By the button on the comfort page, and the draw as it comes."""
    query = urlsplit(to(teacher.get(reverse("assignments:way-out", args=[whose.pk])))).query
    chosen = parse_qs(query)
    chosen |= {"block_bars": "8", "seed": "5", "note": "Somewhere else this week."}
    shown = teacher.post(reverse("assignments:draw"), chosen).content.decode()
    to(teacher.post(reverse("assignments:assign"), chosen | hidden(shown)))
    assert whose.assignments.order_by("-pk").first().away_from


def takes_in_the_lesson(teacher: Client, whose: Student) -> None:
    struck = {f"at-{beat}-1": name for beat, name in enumerate(("snare", "high tom", "mid tom"))}
    fields = {"take": str(uuid.uuid4()), "tempo": "84", "times": "4", **struck}
    to(teacher.post(reverse("assignments:lesson-take", args=[whose.pk]), fields))
    take = whose.takes.get(source=Take.Source.LESSON)
    to(teacher.post(reverse("assignments:take-tempo", args=[take.pk]), {"said_tempo": "80"}))


def confirmed_and_taken_back(teacher: Client) -> None:
    first, second, third = mastered(student("Mei"))[:3]
    to(teacher.post(reverse("assignments:variation-confirm", args=[first.pk])))
    to(teacher.post(reverse("assignments:variation-take-back", args=[second.pk])))
    to(teacher.post(reverse("assignments:variation-confirm", args=[third.pk])))
    to(teacher.post(reverse("assignments:variation-take-back", args=[third.pk])))


def removed(teacher: Client) -> None:
    """One of each, waiting to be undone; and one of each that was brought back."""
    studio = Studio.objects.get()
    bar = studio.bars.filter(assignments=None).exclude(name="Line 12").first()
    kit = studio.kits.create(name="School kit", surfaces=["snare", "floor tom", "hi-hat"])
    for name in ("Ada", "Rafi"):
        fields = {"nickname": name, "handedness": "left", "kit": kit.pk, "level": "beginner"}
        fields |= {"mixing": "blocked", "lesson_weekday": ""}
        to(teacher.post(reverse("studio:student-add"), fields))
        to(teacher.post(reverse("studio:links", args=[student(name).pk])), ok=200)
    given = student("Noor").assignments.order_by("pk")
    rule_set = studio.rule_sets.create(
        name="Only feet", rules=[{"rule": "at most in a row", "n": 2}]
    )
    ladder = studio.ladders.create(name="Short ladder")
    step = studio.ladders.exclude(pk=ladder.pk).get().steps.order_by("-position").first()
    variation = given[2].variations.order_by("-position").first()
    taken = student("Gus").takes.order_by("day").first()
    for name, thing in {
        "rhythms:bar": bar,
        "rhythms:rule-set": rule_set,
        "rhythms:ladder": ladder,
        "rhythms:step": step,
        "studio:student": student("Ada"),
        "assignments:assignment": given[1],
        "assignments:variation": variation,
        "assignments:take": taken,
    }.items():
        to(teacher.post(reverse(f"{name}-remove", args=[thing.pk])))
        thing.refresh_from_db()
        assert thing.removed_at, name
    twice = student("Luz").takes.order_by("day").first()
    to(teacher.post(reverse("assignments:take-remove", args=[twice.pk])))
    to(teacher.post(reverse("assignments:take-restore", args=[twice.pk])))
    link = student("Rafi").sign_in_links.get()
    to(teacher.post(reverse("studio:link-revoke", args=[link.pk])))


# --- the students --------------------------------------------------------------------


def the_students_day(studio: dict) -> None:
    for pk, one in studio["students"].items():
        device = visiting.client_with(one["session"])
        if one["nickname"] in ("Fenna", "Wren", "Mei"):
            logs(device, Student.objects.get(pk=pk))
    device = of(studio, "Wren")
    kit_map = {"key-38": "snare", "key-36": "bass drum", "key-98": "ride"}
    to(device.post(reverse("assignments:kit-map"), kit_map))
    takes(device, student("Wren"))
    re_checks(of(studio, "Mei"), student("Mei"))


def logs(device: Client, whose: Student) -> None:
    """Entries as a phone sends them, as the form does, changed, removed and brought back."""
    fill = AssignedVariation.objects.kept().filter(assignment__student=whose).first()
    more = [{"tempo": "88", "loops": 12}, {"note": "Late left hand"}, {"felt": "hard"}, {}]
    entries = []
    for ago, fields in enumerate(more):
        sent = {"day": str(TODAY - ago * DAY), "minutes": "2.5", "variation": fill.pk, **fields}
        sent |= {"id": str(uuid.uuid4()), "student": whose.pk}
        entries.append(sent["id"])
        answer = device.post(
            reverse("assignments:api-practice-entries"), sent, content_type="application/json"
        )
        assert answer.status_code == 201, answer.content
    one = reverse("assignments:api-practice-entry", args=[entries[0]])
    fields = {"clean_loops": 9, "felt": "good", "note": "Even at last"}
    assert device.patch(one, fields, content_type="application/json").status_code == 200
    form = {"entry": entries[1], "minutes": "4", "day": str(TODAY - DAY), "tempo": "90"}
    to(device.post(reverse("assignments:entry-edit", args=[entries[1]]), form))
    for which in entries[2:]:
        to(device.post(reverse("assignments:entry-remove", args=[which])))
    to(device.post(reverse("assignments:entry-restore", args=[entries[3]])))
    assert PracticeEntry.objects.get(pk=entries[3]).changes.count() == 2
    form = {"entry": str(uuid.uuid4()), "minutes": "5", "day": str(TODAY), "tempo": "84"}
    to(device.post(reverse("assignments:log", args=[fill.pk]), form))


def takes(device: Client, whose: Student) -> None:
    """A file, pads, a kit; one that nobody can read; one removed."""
    fill = AssignedVariation.objects.kept().filter(assignment__student=whose).first()
    block = device.get(reverse("assignments:block-midi", args=[fill.pk])).content
    upload = reverse("assignments:take-upload")
    for name, data in (("take.mid", block), ("torn.mid", block[:30])):
        sent = {"file": SimpleUploadedFile(name, data), "meter": "4/4", "variation": fill.pk}
        to(device.post(upload, sent | {"take": str(uuid.uuid4())}))
    for source in ("pads", "web midi"):
        assert (
            device.post(
                reverse("assignments:api-takes"),
                a_take(source, fill),
                content_type="application/json",
            ).status_code
            == 201
        )
    pads = whose.takes.get(source="pads")
    to(device.post(reverse("assignments:take-remove", args=[pads.pk])))
    assert whose.takes.filter(state="failed").exists()


def a_take(source: str, fill: AssignedVariation | None) -> dict:
    """As the page that records sends it."""
    beat = 60_000 / 72
    events = [[round(900 + place * beat / 2, 1), 38, 90] for place in range(8)]
    return {
        "id": str(uuid.uuid4()),
        "source": source,
        "variation": fill and fill.pk,
        "meter": "4/4",
        "tempo": 72,
        "latency": 21.5 if source == "pads" else None,
        "click": {"tempo": 72, "start": 900.0},
        "seconds": 5.2,
        "events": events,
    }


def re_checks(device: Client, whose: Student) -> None:
    """Played cold: one came out clean, one did not; one is called mastered, and not after all."""
    clean, not_clean, *_ = mastered(whose)
    for fill, right in ((clean, 4), (not_clean, 1)):
        sent = {"id": str(uuid.uuid4()), "student": whose.pk, "variation": fill.pk}
        sent |= {"day": str(TODAY), "minutes": 1, "loops": 4, "clean_loops": right}
        answer = device.post(
            reverse("assignments:api-practice-entries"),
            sent | {"recheck": True, "tempo": 66},
            content_type="application/json",
        )
        assert answer.status_code == 201, answer.content
    not_clean.refresh_from_db()
    assert not_clean.returned_at
    new = AssignedVariation.objects.kept().filter(assignment__student=whose, mastered_at=None)
    for name in ("api-mastered", "api-take-back", "api-mastered"):
        address = reverse(f"assignments:{name}", args=[new.first().pk])
        assert device.post(address, {}, content_type="application/json").status_code == 200


# --- what waits ----------------------------------------------------------------------


def what_waits_for_the_worker(studio: dict, teacher: Client) -> dict:
    """The worker is stopped: files, takes and sheets that were asked for stay in the queue.

    Returns the tickets of two sheets that were made before: one of the teacher's, and a
    student's by their pk.
    """
    wren = student("Wren")
    device = of(studio, "Wren")
    fill = AssignedVariation.objects.kept().filter(assignment__student=wren).last()
    score = device.get(reverse("assignments:variation-file", args=[fill.pk, "musicxml"])).content
    sent = {"file": SimpleUploadedFile("Line 13.musicxml", score)}
    to(teacher.post(reverse("rhythms:bar-import"), sent))
    answer = device.post(
        reverse("assignments:api-takes"), a_take("web midi", fill), content_type="application/json"
    )
    assert answer.status_code == 201
    sheet = reverse("assignments:variation-pdf", args=[fill.pk])
    waiting = device.get(sheet + "?paper=us-letter")
    tickets = {str(wren.pk): ticket_in(waiting)}
    bar = Studio.objects.get().bars.get(name="Line 12")
    ladder = Studio.objects.get().ladders.kept().first()
    query = f"?ladder={ladder.pk}&each=2&tempo=80&block_bars=4&paper=a4"
    tickets["teacher"] = ticket_in(teacher.get(reverse("rhythms:bar-pdf", args=[bar.pk]) + query))
    return tickets


def ticket_in(page) -> str:
    return re.search(r"/files/([^/\"]+)/", page.content.decode()).group(1)


def the_queue(broker: redis.Redis) -> list[str]:
    """The messages, oldest first, word for word as they lie in Redis."""
    waiting = [message.decode() for message in broker.lrange("celery", 0, -1)]
    return waiting[::-1]


def the_cache(broker: redis.Redis) -> dict[str, str]:
    """What lies in the cache, as it lies there, by key; bytes in base 64."""
    found = {}
    for key in broker.scan_iter("fillwright:*"):
        name = key.decode()
        if "comfort" in name:
            found[name] = base64.b64encode(broker.get(key)).decode()
    return found


# --- helpers -------------------------------------------------------------------------


def what_stands_out() -> dict[str, dict]:
    """What the code says of each comfort zone."""
    students = Student.objects.kept().select_related("kit", "studio")
    return {
        str(one.pk): {
            "takes": comfort.takes,
            "sentences": list(comfort.zone.sentences) if comfort.zone else [],
            "direction": comfort.direction,
        }
        for one, comfort in comforts(students, TODAY).items()
    }


def student(nickname: str) -> Student:
    return Student.objects.get(nickname=nickname)


def of(studio: dict, nickname: str) -> Client:
    return visiting.client_with(studio["students"][str(student(nickname).pk)]["session"])


def mastered(whose: Student) -> list[AssignedVariation]:
    kept = AssignedVariation.objects.kept().filter(assignment__student=whose)
    return list(kept.exclude(mastered_at=None).order_by("pk"))


def hidden(page: str) -> dict[str, list[str]]:
    """The hidden fields of a page."""
    fields: dict[str, list[str]] = {}
    for tag in re.findall(r'<input type="hidden"[^>]*>', page):
        name, value = re.search(r'name="([^"]*)" value="([^"]*)"', tag).groups()
        fields.setdefault(name, []).append(value)
    fields.pop("csrfmiddlewaretoken", None)
    return fields


def to(answer, ok: int = 302) -> str:
    """Where it leads; anything but that is a mistake of this script."""
    assert answer.status_code == ok, (answer.status_code, answer.content.decode()[:3000])
    return answer.headers.get("Location", "")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
