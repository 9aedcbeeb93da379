"""What holds for the whole house."""

import ast
import re
import subprocess
import sys
from collections import defaultdict
from pathlib import Path

import pytest
from django.core.management import call_command
from django.urls import URLPattern, get_resolver

from rhythms.engine import Kit
from rhythms.engine.kits.surfaces import CALLED, KIT_SURFACES
from studio import surface_names
from tests.processes import LONG, TOGETHER

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


#: Names that Django and pytest look for, in whichever folder they stand; and what a package is.
LOOKED_FOR = {
    "__init__.py", "__main__.py", "views.py", "urls.py", "models.py", "forms.py", "admin.py",
    "apps.py", "tasks.py", "api.py", "conftest.py", "README.md", "requirements.txt", "run",
}  # fmt: skip
#: Kept by the engine and, under the same name, by the models that store them.
IN_ENGINE_AND_MODELS = {"Kit", "RuleSet"}


FOLDERS = ("studio", "rhythms", "assignments", "templates", "static", "tests")


def repository_files() -> list[Path]:
    return [
        path
        for folder in FOLDERS
        for path in (ROOT / folder).rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    ]


def named_twice(names: list[tuple[str, Path]]) -> dict[str, list[str]]:
    places = defaultdict(list)
    for name, path in names:
        places[name].append(str(path.relative_to(ROOT)))
    return {name: found for name, found in places.items() if len(found) > 1}


def test_a_file_name_stands_once_in_the_project():
    names = [
        (path.name, path)
        for path in repository_files()
        if path.name not in LOOKED_FOR and not {"migrations", "commands"} & set(path.parts)
    ]
    assert named_twice(names) == {}


def test_a_class_name_stands_once_in_the_project():
    names = [
        (node.name, path)
        for path in repository_files()
        if path.suffix == ".py" and not {"migrations", "commands", "tests"} & set(path.parts)
        for node in ast.parse(path.read_text()).body
        if isinstance(node, ast.ClassDef) and node.name not in IN_ENGINE_AND_MODELS
    ]
    assert named_twice(names) == {}


def views_by_address_name() -> dict[str, str]:
    """The name of each view by the name of its address."""
    found = {}
    to_visit = list(get_resolver().url_patterns)
    while to_visit:
        pattern = to_visit.pop()
        if isinstance(pattern, URLPattern):
            view = getattr(pattern.callback, "view_class", pattern.callback)
            found[pattern.name] = view.__name__
        else:
            to_visit.extend(pattern.url_patterns)
    return found


def test_a_view_is_called_as_its_address():
    wrong = {}
    for address, view in views_by_address_name().items():
        as_function = address.replace("-", "_")
        if view not in {as_function, as_function.title().replace("_", "")}:
            wrong[address] = view
    assert wrong == {}


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
    assert list(surface_names.SURFACES) == [str(surface) for surface in KIT_SURFACES]
    assert surface_names.CALLED == CALLED


def test_the_studio_and_the_engine_have_the_same_standard_kit():
    standard = Kit.standard()
    assert surface_names.standard_surfaces() == [str(surface) for surface in standard.surfaces]


@pytest.mark.django_db
def test_no_migration_is_missing():
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)


def test_no_template_has_inline_code():
    found = {str(path): INLINE_CODE.findall(path.read_text()) for path in TEMPLATES}
    assert {path: code for path, code in found.items() if code} == {}


@pytest.mark.parametrize(
    "bad",
    ["<script>x()</script>", '<p style="color: red">', "<style>", '<a onclick="x()">'],
)
def test_inline_code_would_be_found(bad):
    assert INLINE_CODE.search(bad)


def test_the_tests_that_are_begun_first_are_there():
    assert [path for path in (*LONG, *TOGETHER) if not (ROOT / path).exists()] == []
