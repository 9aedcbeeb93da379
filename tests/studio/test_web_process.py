"""A web process starts without what only the worker needs."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
#: Engraver, typesetter, readers, encoder, and what writes XML.
OF_THE_WORKER = ("verovio", "typst", "music21", "mido", "lameenc", "lxml")
AT_ITS_START = """
import sys
import studio.wsgi
print(*sys.modules)
"""


@pytest.fixture(scope="module")
def at_its_start() -> set[str]:
    """The modules in a web process that is ready for its first request."""
    process = [sys.executable, "-W", "ignore", "-c", AT_ITS_START]
    return set(subprocess.check_output(process, cwd=ROOT, text=True).split())


def test_a_web_process_has_its_pages_at_its_start(at_its_start):
    assert {"assignments.today.views", "rhythms.renderings.rendering_store"} <= at_its_start


@pytest.mark.parametrize("library", OF_THE_WORKER)
def test_a_web_process_starts_without(at_its_start, library):
    assert library not in at_its_start


def test_a_late_import_is_the_module_once_something_of_it_is_asked_for():
    asked = (
        "import sys; from rhythms.notation.late_import import LateImport\n"
        "late = LateImport('colorsys'); before = 'colorsys' in sys.modules\n"
        "print(before, late.rgb_to_hls(0, 0, 0) is not None, 'colorsys' in sys.modules)"
    )
    told = subprocess.check_output([sys.executable, "-c", asked], cwd=ROOT, text=True)
    assert told.split() == ["False", "True", "True"]
