"""Engravings, sheets and audio files as pages ask for them: by what they show."""

import hashlib
import json
from collections.abc import Iterable
from typing import IO, Any

from django.core.files.storage import default_storage

from rhythms.engine import Fill
from rhythms.engine.playback.timeline import Sound
from rhythms.models import Rendering
from rhythms.notation.engraving.svg import SVG_VERSION
from rhythms.notation.sheets import PDF_VERSION, Sheet
from rhythms.notation.sounds.audio import AUDIO_VERSION
from rhythms.renderings.tasks import render
from studio import task_queue

#: By format. What is drawn otherwise from now on gets another address.
_VERSIONS = {"svg": SVG_VERSION, "pdf": f"{PDF_VERSION} {SVG_VERSION}", "mp3": AUDIO_VERSION}


def rendering_for(fill: Fill, counts: bool = False) -> Rendering:
    """The rendering of a fill, with its count line below where `counts`; asked for if need be."""
    return renderings_for([fill], counts)[0]


def renderings_for(fills: Iterable[Fill], counts: bool = False) -> list[Rendering]:
    """The rendering of each fill, in order, in one query where all are made already.

    The worker is asked for those that are not, once the transaction is through.
    """
    return _found("svg", [{"fill": fill.to_json(), "counts": counts} for fill in fills])


def sheet_rendering(sheet: Sheet) -> Rendering:
    """The PDF of a practice sheet; asked for if need be."""
    return _found("pdf", [sheet.to_json()])[0]


def audio_rendering(sounds: Iterable[Sound], tempo: int) -> Rendering:
    """The audio file of a timeline, `tempo` in quarters a minute; asked for if need be."""
    played = [[str(sound.onset), str(sound.surface), sound.dynamic] for sound in sounds]
    return _found("mp3", [{"sounds": played, "tempo": tempo}])[0]


def key_of(source: dict[str, Any], form: str = "svg") -> str:
    """The address of what `source` shows: SHA-256, as 64 hex digits, of its canonical JSON."""
    shown = {"format": form, "version": _VERSIONS[form], "source": source}
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
    _enqueue([rendering.key])
    rendering.refresh_from_db()


def _found(form: str, sources: list[dict[str, Any]]) -> list[Rendering]:
    wanted = {key_of(source, form): source for source in sources}
    known = Rendering.objects.in_bulk(wanted)
    old = [key for key in known if known[key].is_getting_old]
    if old and Rendering.objects.note_wanted(old):
        # From here on no sweep takes one away, but one may have been faster.
        known = Rendering.objects.in_bulk(wanted)
    if asked := _ask_for_missing(form, wanted, known):
        known |= Rendering.objects.in_bulk(asked)
    return [known[key_of(source, form)] for source in sources]


def _ask_for_missing(form: str, wanted: dict[str, Any], known: dict[str, Rendering]) -> list[str]:
    # Sorted, so that two transactions never wait for each other's rows in a circle.
    new = sorted(wanted.keys() - known.keys())
    Rendering.objects.bulk_create(
        [Rendering(key=key, format=form, source=wanted[key]) for key in new],
        ignore_conflicts=True,
    )
    asked = new + sorted(key for key in known if known[key].is_overdue)
    if asked:
        _enqueue(asked)
    return asked


def _enqueue(keys: list[str]) -> None:
    """Mark as asked for, and tell the worker."""
    Rendering.objects.ask_for(keys)
    task_queue.enqueue_on_commit(render, keys)
