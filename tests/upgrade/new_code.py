"""The code under test on the morning after a deploy: a process of its own on a kept studio.

    python -m tests.upgrade.new_code sqlite

with DATABASE_URL, MEDIA_ROOT and SECRET_KEY (and REDIS_URL, if there is a Redis of its own) in
the environment. Migrates, opens every page, lets a worker take the old queue, sends what old
devices send, and prints as JSON how it went.
"""

import base64
import hashlib
import json
import os
import re
import sys
from collections.abc import Mapping
from datetime import datetime
from io import StringIO
from pathlib import Path
from typing import Any

from tests.upgrade import moved_clock
from tests.upgrade.restoring import kept


def main(kind: str) -> dict[str, Any]:
    studio = kept(kind, "facts")
    moved_clock.start_at(datetime.fromisoformat(studio["moment"]))
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "studio.settings")
    import django

    django.setup()
    from django.core.management import call_command

    from tests.upgrade import studio_facts, visiting

    call_command("migrate", stdout=StringIO())
    report: dict[str, Any] = {"counts": studio_facts.counts(), "told": studio_facts.told(studio)}
    report |= _renderings() | _fills()
    _have_zones_made(studio)
    files = _files()
    _put_into_the_cache(kept(kind, "cache"))
    report["pages"] = visiting.opened(studio)
    _have_drawn(studio)
    report["files"] = {"before": files, "after": _files()}
    report["renderings_after"] = _renderings()["renderings"]
    from tests.upgrade import old_queue

    report["tasks"] = old_queue.taken(kept(kind, "queue"))
    report["waiting"] = _waiting()
    report["takes_told_of"] = _takes_told_of(studio)
    report["tickets"] = _tickets(studio)
    report["device"] = _device(kept(kind, "device"), studio)
    return report


def _renderings() -> dict[str, Any]:
    """Each rendering with the name of its file, and whether its address is what it was."""
    from rhythms.models import Rendering
    from tests.upgrade.internals import key_of

    rows = list(Rendering.objects.all())
    return {
        "renderings": {one.key: str(one.file) for one in rows if one.state == "done"},
        "addresses": {one.key: key_of(one.source, one.format) for one in rows},
        "formats": {one.key: one.format for one in rows},
    }


def _fills() -> dict[str, Any]:
    """Each fill's number, engraving and standing, as this code works them out."""
    from assignments.models import AssignedVariation
    from tests.upgrade.internals import Kit, StickingStyle, engravings_of, space_for

    spaces: dict[int, Any] = {}
    ranks, stands = {}, {}
    fills = list(
        AssignedVariation.objects.select_related(
            "assignment__source_bar", "assignment__rule_set", "assignment__student__kit"
        )
    )
    kits = [Kit.from_json(one.assignment.kit) for one in fills]
    engraved = [
        engravings_of(
            [one.as_fill], [kit], one.assignment.tempo, StickingStyle(one.assignment.sticking)
        )[0]
        for one, kit in zip(fills, kits, strict=True)
    ]
    for one in fills:
        given = one.assignment
        if given.pk not in spaces:
            spaces[given.pk] = space_for(given.source_bar, given.rule_set, given.student)
        space = spaces[given.pk]
        fill = space.fill(one.rank)
        ranks[one.pk] = [str(space.size), str(space.rank(fill)), fill.to_json() == one.fill]
        before = [str(moment) for moment in (one.mastered_at, one.held_at, one.returned_at)]
        one.settle()
        one.refresh_from_db()
        after = [str(moment) for moment in (one.mastered_at, one.held_at, one.returned_at)]
        stands[one.pk] = {"before": before, "after": after}
    return {
        "ranks": {one.pk: [str(one.space_size), str(one.rank), *ranks[one.pk]] for one in fills},
        "stands": stands,
        "engraved": {
            one.pk: [one.rendering_id, new.key] for one, new in zip(fills, engraved, strict=True)
        },
    }


def _have_zones_made(studio: Mapping[str, Any]) -> None:
    """The old code kept no zones: the page of each has a button for it."""
    from django.urls import reverse

    from tests.upgrade.visiting import client_with

    teacher = client_with(studio["teacher"]["session"])
    for pk in studio["comfort"]:
        teacher.post(reverse("assignments:student-comfort-look", args=[pk]))


def _have_drawn(studio: Mapping[str, Any]) -> None:
    """Pages ask for each drawing by its address; where there is no worker it is made then."""
    from django.urls import reverse

    from rhythms.models import Rendering
    from tests.upgrade import visiting

    for person in visiting.people(studio):
        for one in Rendering.objects.filter(state="waiting", format="svg"):
            person.client.get(reverse("rhythms:rendering-svg", args=[one.key]))


def _takes_told_of(studio: Mapping[str, Any]) -> dict[str, int]:
    """On how many takes the comfort page of each student rests, once looked at; 0 for none."""
    from django.urls import reverse

    from tests.upgrade.visiting import client_with

    teacher = client_with(studio["teacher"]["session"])
    found = {}
    for pk in studio["comfort"]:
        page = teacher.get(reverse("assignments:student-comfort", args=[pk])).content.decode()
        told = re.search(r"Rests on (\d+) takes", page)
        found[pk] = int(told[1]) if told else 0
    return found


def _files() -> dict[str, str]:
    """A hash of each file of renderings."""
    from django.conf import settings

    root = Path(settings.MEDIA_ROOT)
    found = sorted(path for path in (root / "renderings").rglob("*") if path.is_file())
    return {
        str(path.relative_to(root)): hashlib.sha256(path.read_bytes()).hexdigest() for path in found
    }


def _put_into_the_cache(entries: Mapping[str, str]) -> None:
    """The bytes as the old code left them, under the names that it gave them."""
    from django.conf import settings
    from django.core.cache import cache

    for name, content in entries.items():
        data = base64.b64decode(content)
        if settings.REDIS_URL:
            cache._cache.get_client(name, write=True).set(name, data)
        else:
            key = cache.make_key(name.removeprefix("fillwright:1:"))
            cache._cache[key] = data
            cache._expire_info[key] = None


def _waiting() -> dict[str, int]:
    """How much was not done, of what had been asked for."""
    from assignments.models import Take
    from rhythms.models import BarImport, Rendering

    kinds = {"takes": Take, "bar_imports": BarImport, "renderings": Rendering}
    return {name: kind.objects.filter(state="waiting").count() for name, kind in kinds.items()}


def _tickets(studio: Mapping[str, Any]) -> dict[str, int]:
    """Files that were asked for before the deploy, and made after it."""
    from django.urls import reverse

    from tests.upgrade.visiting import client_with

    sessions = {pk: one["session"] for pk, one in studio["students"].items()}
    sessions["teacher"] = studio["teacher"]["session"]
    found = {}
    for who, ticket in studio["tickets"].items():
        answer = client_with(sessions[who]).get(reverse("rhythms:file", args=[ticket]))
        found[who] = [answer.status_code, answer.headers.get("Content-Type", "")]
        answer.close()
    return found


def _device(device: Mapping[str, Any], studio: Mapping[str, Any]) -> list[dict[str, Any]]:
    """What an old device sends, twice: it may not have heard the first answer."""
    from tests.upgrade.visiting import client_with

    client = client_with(studio["students"][device["student"]]["session"])
    answers = []
    for one in device["requests"]:
        sent = {"path": one["address"], "data": one["body"], "content_type": "application/json"}
        said = [client.generic(one["method"], **sent) for _ in range(2)]
        answers.append(one | {"answers": [[one.status_code, one.json()] for one in said]})
    return answers


if __name__ == "__main__":
    sys.stdout.write(json.dumps(main(sys.argv[1])))
