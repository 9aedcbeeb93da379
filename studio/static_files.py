"""Static files under names that change with their content, so that browsers may keep them."""

from collections.abc import Iterator
from typing import Any

from whitenoise.storage import CompressedManifestStaticFilesStorage

# What libraries bring for pages and extensions that we do not have; some of it names files
# that are nowhere.
UNUSED = ("django_htmx/ext/", "rest_framework/")


class HashedStaticFiles(CompressedManifestStaticFilesStorage):
    """Also renames what ES modules import from each other."""

    support_js_module_import_aggregation = True
    #: A module's name follows from the names of those that it imports: a pass for each step down.
    max_post_process_passes = 20

    def post_process(self, paths: dict[str, Any], *args: Any, **options: Any) -> Iterator[Any]:
        used = {path: file for path, file in paths.items() if not path.startswith(UNUSED)}
        yield from super().post_process(used, *args, **options)
