"""The worker's part of a rendering: make it, keep it, or say why not."""

import logging
from fractions import Fraction
from functools import partial

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.utils import timezone

from rhythms.engine import EngineError, Surface
from rhythms.engine.playback.timeline import Sound
from rhythms.models import Rendering
from rhythms.notation.engraving_error import EngravingError
from rhythms.notation.sheets import Sheet, pdf
from rhythms.notation.sounds.audio import audio
from rhythms.renderings import job_progress
from rhythms.renderings.drawings import drawing_of

logger = logging.getLogger(__name__)


def make(key: str) -> None:
    """Make what is asked for under this key, unless it is there already.

    The file is written as a whole before the row names it. What cannot be stored now waits and is
    tried again; whatever else goes wrong is kept with the rendering, where a person sees it.
    """
    rendering = Rendering.objects.filter(key=key).first()
    if rendering is None or _is_there(rendering):
        return
    Rendering.objects.ask_for([key])
    try:
        name = default_storage.save(rendering.path, ContentFile(draw(rendering)))
    except OSError:
        logger.exception("Rendering %s waits: it could not be stored", key)
        rendering.hold_up()
        return
    except Exception as error:
        logger.exception("Rendering %s failed", key)
        _fail(key, _reason(error))
        return
    _finish(key, name)


def draw(rendering: Rendering) -> bytes:
    """What its file holds. Raises EngineError, EngravingError."""
    return _MAKERS[rendering.format](rendering)


def _svg(rendering: Rendering) -> bytes:
    """The engraving, drawn as its source says."""
    return drawing_of(rendering.source).draw(rendering).encode()


def _pdf(rendering: Rendering) -> bytes:
    """The sheet; the job’s progress is set on the way."""
    return pdf(Sheet.from_json(rendering.source), partial(job_progress.set_progress, rendering.key))


def _mp3(rendering: Rendering) -> bytes:
    """The timeline, played."""
    played = (
        Sound(Fraction(onset), Surface(surface), dynamic)
        for onset, surface, dynamic in rendering.source["sounds"]
    )
    return audio(played, rendering.source["tempo"])


_MAKERS = {"svg": _svg, "pdf": _pdf, "mp3": _mp3}


@transaction.atomic
def discard_outlived() -> int:
    """Delete what nobody wanted lately, and say how many.

    Sheets hold names of students. All of it is made again at once where it is wanted.
    """
    gone = Rendering.objects.outlived() | Rendering.objects.orphaned()
    locked = gone.select_for_update(of=("self",), skip_locked=True)
    keys = list(locked.values_list("key", flat=True))
    Rendering.objects.filter(key__in=keys).delete()
    return len(keys)


def _is_there(rendering: Rendering) -> bool:
    done = rendering.state == Rendering.State.DONE
    return done and default_storage.exists(str(rendering.file))


def _finish(key: str, name: str) -> None:
    waiting = Rendering.objects.filter(key=key).exclude(state=Rendering.State.DONE)
    done = {"state": Rendering.State.DONE, "file": name, "error": ""}
    # Where another worker was faster, the file is the same: its name says what it holds.
    waiting.update(rendered_at=timezone.now(), setbacks=0, retry_at=None, **done)
    if not Rendering.objects.filter(key=key).exists():
        # Its owner was removed while it was made.
        default_storage.delete(name)


def _fail(key: str, reason: str) -> None:
    waiting = Rendering.objects.filter(key=key).exclude(state=Rendering.State.DONE)
    waiting.update(state=Rendering.State.FAILED, error=reason, setbacks=0, retry_at=None)


def _reason(error: Exception) -> str:
    if isinstance(error, EngineError | EngravingError):
        return error.message
    return f"The engraver stopped with an error ({type(error).__name__})."
