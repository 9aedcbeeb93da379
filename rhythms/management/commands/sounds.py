from typing import Any

from django.core.management.base import BaseCommand, CommandError

from rhythms.notation.sounds import SOUNDS_VERSION
from rhythms.sounds.sound_files import SLUGS, kept_sound_file


class Command(BaseCommand):
    help = "Make the kit's sounds now, so that the first player does not wait for them."

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            size = sum(len(kept_sound_file(slug)) for slug in SLUGS)
        except OSError as error:
            raise CommandError(f"The sounds cannot be stored: {error}") from error
        self.stdout.write(f"{len(SLUGS)} sounds of {SOUNDS_VERSION} are there: {size // 1000} KB.")
