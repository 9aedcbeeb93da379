"""The kit's sounds as pages ask for them: made once for each version, kept as files."""

from pathlib import Path
from tempfile import NamedTemporaryFile

from django.core.files.storage import default_storage
from django.urls import reverse
from django.utils.text import slugify

from rhythms.notation.sounds import CHOKES, NAMES, OFFSET, SOUNDS_VERSION, dynamics_of, encoded

#: Where they are among the files.
FOLDER = "sounds"
#: Every sound there is, by its part of the address: the name and the dynamic.
SLUGS = {
    f"{slugify(name)}-{dynamic}": (name, dynamic) for name in NAMES for dynamic in dynamics_of(name)
}
#: The web server, too, may be another user.
_READABLE = 0o644


def sound_file(slug: str) -> bytes:
    """The sound as MP3; made if it is not there. Raises KeyError for a slug that is none."""
    name, dynamic = SLUGS[slug]
    path = Path(default_storage.path(f"{FOLDER}/{SOUNDS_VERSION}/{slug}.mp3"))
    try:
        return path.read_bytes()
    except FileNotFoundError:
        made = encoded(name, dynamic)
        _keep(path, made)
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


def _keep(path: Path, content: bytes) -> None:
    """Put a file in its place as a whole, so that nobody ever reads half of it."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with NamedTemporaryFile(dir=path.parent, delete=False) as file:
        file.write(content)
    Path(file.name).chmod(_READABLE)
    Path(file.name).replace(path)
