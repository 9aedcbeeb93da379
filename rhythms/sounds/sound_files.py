"""The kit's sounds as pages ask for them: made once for each version, kept as files."""

import logging

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.urls import reverse
from django.utils.text import slugify

from rhythms.notation.sounds import CHOKES, NAMES, OFFSET, SOUNDS_VERSION, dynamics_of, encoded

logger = logging.getLogger(__name__)
#: Where they are among the files.
FOLDER = "sounds"
#: Every sound there is, by its part of the address: the name and the dynamic.
SLUGS = {
    f"{slugify(name)}-{dynamic}": (name, dynamic) for name in NAMES for dynamic in dynamics_of(name)
}


def sound_file(slug: str) -> bytes:
    """The sound as MP3; made if it is not there. Raises KeyError for a slug that is none.

    Where there is no room to keep it, it is heard all the same.
    """
    try:
        return kept_sound_file(slug)
    except OSError:
        logger.exception("Sound %s could not be stored", slug)
        return encoded(*SLUGS[slug])


def kept_sound_file(slug: str) -> bytes:
    """The sound as MP3, which is kept from now on. Raises KeyError, and OSError without room."""
    name, dynamic = SLUGS[slug]
    place = f"{FOLDER}/{SOUNDS_VERSION}/{slug}.mp3"
    try:
        with default_storage.open(place) as file:
            return bytes(file.read())
    except FileNotFoundError:
        made = encoded(name, dynamic)
        default_storage.save(place, ContentFile(made))
        return made


def manifest() -> dict[str, object]:
    """What the player loads, for each sound and dynamic.

    ``{"version": …, "sounds": {name: {dynamic: {"url": …, "offset": seconds}}}, "chokes":
    {name: [names that it ends]}}``; ``offset`` is where the attack is in the decoded file.
    """
    sounds: dict[str, dict[str, dict[str, object]]] = {name: {} for name in NAMES}
    for slug, (name, dynamic) in SLUGS.items():
        url = reverse("rhythms:sound", args=[SOUNDS_VERSION, slug])
        sounds[name][dynamic] = {"url": url, "offset": OFFSET}
    chokes = {str(name): list(ended) for name, ended in CHOKES.items()}
    return {"version": SOUNDS_VERSION, "sounds": sounds, "chokes": chokes}
