"""What holds for the whole house."""

import re
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.management import call_command

from rhythms.engine import Kit, Surface
from studio import surface_names

ROOT = Path(__file__).resolve().parent.parent
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))

INLINE_CODE = re.compile(
    r"""<script(?![^>]*\bsrc=)      # a script without an address
      | <style\b                    # a style sheet in the page
      | \sstyle\s*=                 # a style attribute
      | \son[a-z]+\s*=\s*["']       # an event handler
      | \bhx-on\b | hx-vals=["']js: # code that htmx would have to evaluate
      | javascript:""",
    re.VERBOSE | re.IGNORECASE,
)


def test_imports_go_one_way():
    linted = subprocess.run(
        [sys.executable, "-c", "from importlinter.cli import lint_imports_command as c; c()"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert linted.returncode == 0, linted.stdout + linted.stderr


def test_the_studio_and_the_engine_know_the_same_surfaces():
    assert list(surface_names.SURFACES) == [str(surface) for surface in Surface]


def test_the_studio_and_the_engine_have_the_same_standard_kit():
    standard = Kit.standard()
    assert surface_names.standard_surfaces() == [str(surface) for surface in standard.surfaces]


@pytest.mark.django_db
def test_no_migration_is_missing():
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda path: str(path.relative_to(ROOT)))
def test_a_template_has_no_inline_code(template):
    assert INLINE_CODE.findall(template.read_text()) == []


@pytest.mark.parametrize(
    "bad",
    ["<script>x()</script>", '<p style="color: red">', "<style>", '<a onclick="x()">'],
)
def test_inline_code_would_be_found(bad):
    assert INLINE_CODE.search(bad)
