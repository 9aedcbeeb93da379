"""The worker's part of taking bars from a file: read it, or say why not."""

import logging

from rhythms.models import BarImport
from rhythms.models.bar_import import MOST_TRIES
from rhythms.notation.reading import ReadingError, read

logger = logging.getLogger(__name__)

_LOST = "Reading this file failed more than once. Export it anew, or only a part of it."


def read_import(pk: str) -> None:
    """Read a file that waits, and let its bytes go.

    Where the machine has no room to read it, it goes on waiting and no try is counted.
    """
    found = BarImport.objects.waiting().filter(pk=pk).first()
    if found is None:
        return
    found.tries += 1
    found.save(update_fields=["tries"])
    if found.tries > MOST_TRIES:
        _fail(found, _LOST)
        return
    try:
        found.reading = read(bytes(found.data), hands_only=found.hands_only).to_json()
    except ReadingError as error:
        _fail(found, error.message)
        return
    except OSError:
        logger.exception("File %s waits: there was no room to read it", pk)
        found.tries -= 1
        found.save(update_fields=["tries"])
        return
    found.state, found.data = BarImport.State.DONE, b""
    found.save(update_fields=["reading", "state", "data"])


def _fail(found: BarImport, error: str) -> None:
    logger.info("Not read: %s (%s)", found.pk, error)
    found.error, found.state, found.data = error, BarImport.State.FAILED, b""
    found.save(update_fields=["error", "state", "data"])
