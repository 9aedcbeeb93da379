"""README.md, DEVELOPERS.md, the notes for contributors and examples in docstrings hold."""

import doctest
import re
from importlib import import_module
from pathlib import Path

import pytest
from django.core.management import get_commands

from rhythms.engine.bars import count_line
from tests import house_diagram

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text()
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text()
OTHERS = "".join(path.read_text() for path in sorted((ROOT / ".github").glob("*.md")))
ALL_NOTES = README + DEVELOPERS + OTHERS
SETTINGS = (ROOT / "studio" / "settings.py").read_text()

PACKAGES = {
    f"{path}: {name}"
    for path in ("requirements.txt", "tests/requirements.txt", ".ci/requirements.txt")
    for name in re.findall(r"^([\w-]+)(?:\[\w+\])?==", (ROOT / path).read_text(), re.MULTILINE)
}
VARIABLES = re.findall(r'read\(\s*env\.\w+,\s*"(\w+)"', SETTINGS)
#: Made when the app runs, or by its user.
NOT_IN_THE_REPOSITORY = {".secret-key", "db.sqlite3", "media", ".venv"}


def section(text: str, heading: str) -> str:
    """The text under a heading, up to the next one of its level."""
    level = heading.split(" ", maxsplit=1)[0]
    return re.split(rf"^{level} ", text.partition(f"\n{heading}\n")[2], flags=re.MULTILINE)[0]


def first_cells(text: str) -> list[str]:
    return [cell.strip("` ") for cell in re.findall(r"^\| ([^|]+) \|", text, re.MULTILINE)]


def code_in(text: str) -> str:
    """Everything that is set as code, fenced or in a line."""
    fenced = re.findall(r"^```\w*\n(.*?)^```", text, re.MULTILINE | re.DOTALL)
    return "\n".join([*fenced, *re.findall(r"`([^`\n]+)`", text)])


def test_the_readme_says_what_it_is_before_anything_else():
    title, _, rest = README.partition("\n\n")
    assert title == "# Fillwright"
    first = rest.partition("\n\n")[0]
    assert first.startswith("Fillwright is for drum-set teachers")
    assert "#" not in first


@pytest.mark.parametrize(
    ("requirements", "then"),
    [
        ("requirements.txt", ".venv/bin/python manage.py demo"),
        ("tests/requirements.txt", ".venv/bin/python -m pytest"),
    ],
)
def test_the_readme_has_the_command(requirements, then):
    install = f"python3 -m venv .venv && .venv/bin/pip install -r {requirements}"
    assert f"\n{install} && {then}\n" in README


def test_ci_runs_the_readmes_tests():
    assert ".venv/bin/python -m pytest" in (ROOT / ".ci" / "run").read_text()


def test_the_hooks_before_a_commit_are_linters_of_ci():
    written = (ROOT / ".pre-commit-config.yaml").read_text()
    hooks = re.findall(r"^ +entry: (.+)$", written, re.MULTILINE)
    ci = (ROOT / ".ci" / "run").read_text().splitlines()
    assert len(hooks) >= 3
    assert [hook for hook in hooks if not any(line.strip().startswith(hook) for line in ci)] == []


@pytest.mark.parametrize("variable", VARIABLES)
def test_every_environment_variable_is_in_the_readmes_table(variable):
    assert first_cells(section(README, "## What runs where")).count(variable) == 1


def test_the_readmes_table_has_no_variable_that_is_not_read():
    named = first_cells(section(README, "## What runs where"))
    assert {name for name in named if name.isupper()} == set(VARIABLES)


@pytest.mark.parametrize("package", sorted(PACKAGES))
def test_every_pinned_package_is_explained(package):
    path, _, name = package.partition(": ")
    pins = section(DEVELOPERS, "## Why each pin is there")
    explained = pins.partition(f"Of `{path}`")[2].partition("\nOf `")[0]
    assert first_cells(explained).count(name) == 1


def test_no_package_is_explained_that_is_not_pinned():
    explained = first_cells(section(DEVELOPERS, "## Why each pin is there"))
    pinned = {package.partition(": ")[2] for package in PACKAGES}
    assert set(explained) - pinned == {"package", "---"}


@pytest.mark.parametrize("command", sorted(set(re.findall(r"manage\.py ([a-z_]+)", ALL_NOTES))))
def test_every_command_of_manage_py_exists(command):
    assert command in get_commands()


def test_the_diagram_shows_who_imports_whom():
    """`python -m tests.house_diagram` draws it anew."""
    assert house_diagram.PLACE.search(DEVELOPERS)[0] == house_diagram.diagram()


def test_working_on_it_takes_no_more_to_read_than_250_lines():
    assert len(DEVELOPERS.splitlines()) <= 250


PATHS = sorted(
    {
        path.rstrip("/")
        for path in re.findall(
            r"(?<![\w/:.@-])(\.?[\w-]+(?:/[\w.-]+)+/?|\w+\.(?:py|txt|toml|md))(?![\w(])",
            code_in(ALL_NOTES),
        )
        if not path.startswith((".venv/", "usr/"))
    }
)


def exists(path: str) -> bool:
    anywhere = "/" not in path and any(ROOT.glob(f"[!.]*/**/{path}"))
    return (ROOT / path).exists() or anywhere


def test_every_path_named_exists():
    assert [path for path in PATHS if not exists(path)] == []


WITH_EXAMPLES = [
    ".".join(path.relative_to(ROOT).with_suffix("").parts)
    for folder in ("rhythms", "assignments", "studio")
    for path in sorted((ROOT / folder).rglob("*.py"))
    if ">>> " in path.read_text()
]


@pytest.mark.parametrize("module", WITH_EXAMPLES)
def test_the_examples_in_docstrings_hold(module):
    done = doctest.testmod(import_module(module), optionflags=doctest.IGNORE_EXCEPTION_DETAIL)
    assert done.attempted > 0
    assert done.failed == 0


def test_there_are_examples_of_every_way_to_hold_a_note():
    examples = re.findall(r'lengths\("([^"]+)"', count_line.__doc__)
    assert {"-", "-&", "-2"} <= {token for line in examples for token in line.split()}
