from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from studio.backups.archive import DamagedBackupError
from studio.backups.backup_restorer import (
    NewerBackupError,
    NotEmptyError,
    NotRestoredError,
    restore_backup,
)

#: What a script tells them apart by; 1 is any other error, 2 a command that was not understood.
DAMAGED, NEWER, NOT_EMPTY, NOT_RESTORED = 3, 4, 5, 6


class Command(BaseCommand):
    help = "Bring a backup back, into an installation that is empty."
    requires_system_checks = []
    requires_migrations_checks = False

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="what `manage.py backup` has written")

    def handle(self, *args: Any, file: Path, **options: Any) -> None:
        try:
            totals = restore_backup(file)
        except DamagedBackupError as error:
            raise _refused(f"{file} is no whole backup. {error}", DAMAGED) from error
        except NewerBackupError as error:
            raise _refused(
                f"{file} is from a newer version ({error}). Install that version first.", NEWER
            ) from error
        except NotEmptyError as error:
            raise _refused(
                f"This installation is not empty: it has {error}. Restore into a new database "
                "(DATABASE_URL) and an empty folder (MEDIA_ROOT).",
                NOT_EMPTY,
            ) from error
        except NotRestoredError as error:
            raise _refused(f"This database cannot hold it. {error}", NOT_RESTORED) from error
        except OSError as error:
            raise _refused(f"{error.strerror or error}: {file}", 1) from error
        self.stdout.write(
            f"{totals.rows:,} rows and {totals.files:,} files are back. Everybody signs in anew."
        )


def _refused(reason: str, code: int) -> CommandError:
    return CommandError(f"{reason} Nothing was restored.", returncode=code)
