"""The kit's sounds as pages ask for them: made once for each version, kept as files."""

import logging

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.urls import reverse
from django.utils.text import slugify

from rhythms.notation.sounds import (
    BALANCES,
    CHOKES,
    NAMES,
    OFFSET,
    PANS,
    SOUNDS_VERSION,
    dynamics_of,
    encoded,
    takes_of,
)
from rhythms.notation.sounds.beside_kit import BESIDE, beside_encoded, lead_of

logger = logging.getLogger(__name__)
#: Where they are among the files.
FOLDER = "sounds"


def _slug(name: str, dynamic: str, take: int) -> str:
    return f"{slugify(name)}-{dynamic}" + (f"-{take + 1}" if take else "")


#: Every sound there is, by its part of the address: name, dynamic and take.
SLUGS = {
    _slug(name, dynamic, take): (name, dynamic, take)
    for name in NAMES
    for dynamic in dynamics_of(name)
    for take in range(takes_of(name))
} | {_slug(name, way, 0): (name, way, 0) for name, ways in BESIDE.items() for way in ways}


def sound_file(slug: str) -> bytes:
    """The sound as MP3; made if it is not there. Raises KeyError for a slug that is none.

    Where there is no room to keep it, it is heard all the same.
    """
    try:
        return kept_sound_file(slug)
    except OSError:
        logger.exception("Sound %s could not be stored", slug)
        return _made(slug)


def kept_sound_file(slug: str) -> bytes:
    """The sound as MP3, which is kept from now on. Raises KeyError, and OSError without room."""
    place = f"{FOLDER}/{SOUNDS_VERSION}/{slug}.mp3"
    try:
        with default_storage.open(place) as file:
            return bytes(file.read())
    except FileNotFoundError:
        made = _made(slug)
        default_storage.save(place, ContentFile(made))
        return made


def _made(slug: str) -> bytes:
    name, dynamic, take = SLUGS[slug]
    return beside_encoded(name, dynamic) if name in BESIDE else encoded(name, dynamic, take)


def manifest() -> dict[str, object]:
    """What the player loads, for each sound and dynamic.

    ``{"version": …, "sounds": {name: {dynamic: {"url": …, "offset": seconds, "others": [url,
    …]}}}, "chokes": {name: [names that it ends]}, "pans": {name: -1 to 1}, "balances": {"phone":
    {name: {"gain": dB, "sound": what sounds instead}}}}``; ``offset`` is where the attack is in the
    decoded file, ``others`` are further takes, for the strokes that follow. Words of a count,
    ``say one``, have a ``lead``: how much of them comes before the count, in seconds. The dynamics
    of what is played at pitches are those, as MIDI numbers them.
    """
    return {
        "version": SOUNDS_VERSION,
        "sounds": {
            name: {dynamic: _listed(name, dynamic) for dynamic in dynamics_of(name)}
            for name in NAMES
        }
        | {name: {way: _listed_beside(name, way) for way in ways} for name, ways in BESIDE.items()},
        "chokes": {str(name): list(ended) for name, ended in CHOKES.items()},
        "pans": {str(name): place for name, place in PANS.items()},
        "balances": BALANCES,
    }


def _listed(name: str, dynamic: str) -> dict[str, object]:
    first, *others = (
        reverse("rhythms:sound", args=[SOUNDS_VERSION, _slug(name, dynamic, take)])
        for take in range(takes_of(name))
    )
    return {"url": first, "offset": OFFSET, "others": others}


def _listed_beside(name: str, way: str) -> dict[str, object]:
    url = reverse("rhythms:sound", args=[SOUNDS_VERSION, _slug(name, way, 0)])
    lead = lead_of(name)
    return {"url": url, "offset": OFFSET, "others": []} | ({"lead": lead} if lead else {})
