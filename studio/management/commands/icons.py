"""`manage.py icons`: draw the icons of the home screen anew."""

from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand

from studio.icon_images import ICONS, icon_png


class Command(BaseCommand):
    help = "Draw the icons for home screens into static/img, after favicon.svg was changed."

    def handle(self, *args: Any, **options: Any) -> None:
        folder = Path(settings.BASE_DIR) / "static" / "img"
        for name, (pixels, full_bleed) in ICONS.items():
            (folder / name).write_bytes(icon_png(pixels, full_bleed=full_bleed))
            self.stdout.write(f"static/img/{name}")
