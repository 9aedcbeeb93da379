from typing import Any

from django.core.management.base import BaseCommand

from rhythms.notation.sounds import SOUNDS_VERSION
from rhythms.sounds.sound_files import SLUGS, sound_file


class Command(BaseCommand):
    help = "Make the kit's sounds now, so that the first player does not wait for them."

    def handle(self, *args: Any, **options: Any) -> None:
        size = sum(len(sound_file(slug)) for slug in SLUGS)
        self.stdout.write(f"{len(SLUGS)} sounds of {SOUNDS_VERSION} are there: {size // 1000} KB.")
