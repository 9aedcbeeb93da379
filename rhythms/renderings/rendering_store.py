"""Engravings, sheets and audio files as pages ask for them: by what they show."""

import hashlib
import json
from collections.abc import Iterable
from typing import IO, Any, NamedTuple

from django.core.files.storage import default_storage

from rhythms.engine import Fill
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.playback.timeline import Sound
from rhythms.models import Rendering
from rhythms.models.rendering import FileOwner
from rhythms.notation.engraving.svg import SVG_VERSION
from rhythms.notation.sheets import PDF_VERSION, Sheet
from rhythms.notation.sounds.audio import AUDIO_VERSION
from rhythms.renderings.drawings import PAGE, engraving_version
from rhythms.renderings.tasks import task_for
from studio import task_queue

#: By format. What is drawn otherwise from now on gets another address.
_VERSIONS = {"pdf": f"{PDF_VERSION} {SVG_VERSION}", "mp3": AUDIO_VERSION}


def rendering_for(fill: Fill, counts: bool = False) -> Rendering:
    """The rendering of a fill, with its count line below where `counts`; asked for if need be."""
    return renderings_for([fill], counts)[0]


def renderings_for(
    fills: Iterable[Fill], counts: bool = False, feel: Feel = STRAIGHT, drawn: str = PAGE
) -> list[Rendering]:
    """The rendering of each fill, in order, in one query where all are made already.

    With the sign of the feel above where it is not straight; `drawn` is a name in
    `rhythms.renderings.drawings`. The worker is asked for those that are not made, once the
    transaction is through.
    """
    return renderings_by_feel([(fill, feel) for fill in fills], counts, drawn)


def put_off(engravings: Iterable[Rendering]) -> list[Rendering]:
    """The same for engravings that a page shows as they come, each asked for by its address.

    Where no worker draws them, none is drawn before that (see `draw_if_put_off`): no page waits.
    """
    return _found(list(engravings), put_off=True)


def renderings_by_feel(
    fills: Iterable[tuple[Fill, Feel]], counts: bool = False, drawn: str = PAGE
) -> list[Rendering]:
    """The same for fills of which each has a feel of its own."""
    return drawn_as(drawn, [engraving_of(fill, counts, feel) for fill, feel in fills])


def engraving_of(fill: Fill, counts: bool = False, feel: Feel = STRAIGHT) -> Rendering:
    """What would be asked for of a fill on a page; nothing is asked for."""
    sign = _sign(feel.in_meter(fill.bar.meter))
    return _engraving({"fill": fill.to_json(), "counts": counts} | sign, PAGE)


def drawn_as(drawn: str, engravings: Iterable[Rendering]) -> list[Rendering]:
    """What these show, drawn otherwise; in order, in one query where all are made already."""
    return _found([in_the_way(drawn, one) for one in engravings])


def in_the_way(drawn: str, engraving: Rendering) -> Rendering:
    """What would be asked for of the same, drawn otherwise; nothing is asked for."""
    return _engraving(engraving.source, drawn)


def on_a_page(source: dict[str, Any]) -> dict[str, Any]:
    """What an engraving shows, as it is drawn for a page."""
    return {name: shown for name, shown in source.items() if name != "drawn"}


def _engraving(source: dict[str, Any], drawn: str) -> Rendering:
    shown = on_a_page(source) | ({} if drawn == PAGE else {"drawn": drawn})
    return Rendering(key=key_of(shown), source=shown)


def _sign(feel: Feel) -> dict[str, Any]:
    """What is straight has the address that it always had."""
    return {} if feel.is_straight else {"feel": feel.to_json()}


class WantedFile(NamedTuple):
    """A file that somebody wants made: what it shows, and what it is about.

    Another one about the same subject takes its place.
    """

    format: str
    source: dict[str, Any]
    subject: str


def sheet_file(sheet: Sheet, subject: str) -> WantedFile:
    """The PDF of a practice sheet."""
    return WantedFile("pdf", sheet.to_json(), subject)


def audio_file(sounds: Iterable[Sound], tempo: int, subject: str) -> WantedFile:
    """The audio file of a timeline, `tempo` in quarters a minute."""
    played = [[str(sound.onset), str(sound.surface), sound.dynamic] for sound in sounds]
    return WantedFile("mp3", {"sounds": played, "tempo": tempo}, subject)


def is_made(wanted: WantedFile, owner: FileOwner) -> bool:
    """Whether the file is there, or the worker is at it already."""
    known = Rendering.objects.filter(key=key_of(wanted.source, wanted.format, owner))
    return known.exclude(state=Rendering.State.FAILED).exists()


def file_rendering(wanted: WantedFile, owner: FileOwner) -> Rendering:
    """The file, made for its owner alone; asked for if need be, in place of what it was before.

    Raises Rendering.DoesNotExist where its owner was removed meanwhile.
    """
    key = key_of(wanted.source, wanted.format, owner)
    whose = {"studio_id": owner.studio, "student_id": owner.student}
    try:
        [made] = _found([Rendering(key=key, **wanted._asdict(), **whose)])
    except KeyError as error:
        raise Rendering.DoesNotExist from error
    same = Rendering.objects.of_owner(owner).filter(format=wanted.format, subject=wanted.subject)
    same.exclude(key=made.key).delete()
    return made


def key_of(source: dict[str, Any], form: str = "svg", owner: FileOwner | None = None) -> str:
    """The address of what `source` shows: SHA-256, as 64 hex digits, of its canonical JSON."""
    version = _VERSIONS[form] if form != "svg" else engraving_version(source)
    shown: dict[str, Any] = {"format": form, "version": version, "source": source}
    if owner is not None:
        shown["owner"] = list(owner)
    canonical = json.dumps(shown, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(canonical.encode()).hexdigest()


def opened(rendering: Rendering) -> IO[bytes] | None:
    """The file, open for reading, or None where it is not there; one that is lost is made again."""
    if rendering.state != Rendering.State.DONE:
        return None
    try:
        return default_storage.open(str(rendering.file))
    except FileNotFoundError:
        ask_again(rendering)
        return None


def markup(rendering: Rendering) -> str | None:
    """The SVG, or None where it is not there; a file that is lost is made again."""
    file = opened(rendering)
    if file is None:
        return None
    with file:
        return file.read().decode()


def ask_again(rendering: Rendering) -> None:
    """Have a rendering made anew, whatever became of it."""
    _enqueue(rendering.format, [rendering.key])
    try:
        rendering.refresh_from_db()
    except Rendering.DoesNotExist:  # its owner was removed just now
        rendering.state = Rendering.State.WAITING


def draw_if_put_off(rendering: Rendering) -> None:
    """Have it drawn now where no worker does it; one that waits for room has its own time."""
    if rendering.is_overdue or (_waits(rendering) and not task_queue.has_worker()):
        ask_again(rendering)


def _waits(rendering: Rendering) -> bool:
    return rendering.state == Rendering.State.WAITING and not rendering.is_held_up


def _found(wanted: list[Rendering], put_off: bool = False) -> list[Rendering]:
    """The rows of these, in order; those that are not there yet are made, and asked for."""
    unsaved = {rendering.key: rendering for rendering in wanted}
    known = Rendering.objects.in_bulk(unsaved)
    old = [key for key in known if known[key].is_getting_old]
    if old and Rendering.objects.note_wanted(old):
        # From here on no sweep takes one away, but one may have been faster.
        known = Rendering.objects.in_bulk(unsaved)
    if asked := _ask_for_missing(unsaved, known, tell=not put_off or task_queue.has_worker()):
        known |= Rendering.objects.in_bulk(asked)
    return [known[rendering.key] for rendering in wanted]


def _ask_for_missing(
    unsaved: dict[str, Rendering], known: dict[str, Rendering], tell: bool
) -> list[str]:
    # Sorted, so that two transactions never wait for each other's rows in a circle.
    new = sorted(unsaved.keys() - known.keys())
    Rendering.objects.bulk_create([unsaved[key] for key in new], ignore_conflicts=True)
    if not tell:
        return new
    asked = new + sorted(key for key in known if known[key].is_overdue)
    for form in {unsaved[key].format for key in asked}:
        _enqueue(form, [key for key in asked if unsaved[key].format == form])
    return asked


def _enqueue(form: str, keys: list[str]) -> None:
    """Mark as asked for, and tell the worker."""
    Rendering.objects.ask_for(keys)
    task_queue.enqueue_on_commit(task_for(form), keys)
