"""README.md and DEVELOPERS.md say what is so."""

import re
from fractions import Fraction
from pathlib import Path

import pytest
from django.core.management import get_commands

from rhythms.engine import Bar

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text()
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text()
BOTH = README + DEVELOPERS
SETTINGS = (ROOT / "studio" / "settings.py").read_text()

PACKAGES = {
    f"{path}: {name}"
    for path in ("requirements.txt", "tests/requirements.txt")
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


def house() -> list[str]:
    """The paths that the tree of the house names."""
    tree = re.search(r"```\n(manage\.py .*?)```", DEVELOPERS, re.DOTALL)[1]
    paths, folder = [], ""
    for indent, name in re.findall(r"^( *)(\S+)  ", tree, re.MULTILINE):
        paths.append(f"{folder}{name}" if indent else name)
        folder = folder if indent else name
    return paths


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
    of_the_app, of_the_tests = pins.split("Of `tests/requirements.txt`", maxsplit=1)
    explained = of_the_app if path == "requirements.txt" else of_the_tests
    assert first_cells(explained).count(name) == 1


def test_no_package_is_explained_that_is_not_pinned():
    explained = first_cells(section(DEVELOPERS, "## Why each pin is there"))
    pinned = {package.partition(": ")[2] for package in PACKAGES}
    assert set(explained) - pinned == {"package", "---"}


@pytest.mark.parametrize("command", sorted(set(re.findall(r"manage\.py ([a-z_]+)", BOTH))))
def test_every_command_of_manage_py_exists(command):
    assert command in get_commands()


@pytest.mark.parametrize("path", house())
def test_every_path_of_the_house_exists(path):
    assert (ROOT / path).exists()


def test_the_house_has_every_top_level_folder():
    folders = {path.name for path in ROOT.iterdir() if (path / "__init__.py").exists()}
    assert {"studio", "rhythms", "assignments"} <= folders
    assert folders <= {path.strip("/") for path in house()} | {"tests"}


PATHS = sorted(
    {
        path.rstrip("/")
        for path in re.findall(
            r"(?<![\w/:.@-])(\.?[\w-]+(?:/[\w.-]+)+/?|\w+\.(?:py|txt|toml|md))(?![\w(])",
            code_in(BOTH),
        )
        if not path.startswith((".venv/", "usr/"))
    }
)


@pytest.mark.parametrize("path", PATHS)
def test_every_path_named_exists(path):
    anywhere = list(ROOT.glob(f"[!.]*/**/{path}")) if "/" not in path else []
    assert (ROOT / path).exists() or anywhere


EXAMPLES = re.findall(r"^\| (\d+/\d) \| `([^`]+)` \| ([\d/ ]+) \|$", DEVELOPERS, re.MULTILINE)


@pytest.mark.parametrize(("meter", "counts", "lengths"), EXAMPLES)
def test_every_example_of_a_count_line_reads_as_it_says(meter, counts, lengths):
    bar = Bar.from_counts(counts, meter)
    assert [note.length for note in bar.sounded] == [Fraction(part) for part in lengths.split()]
    assert bar.counts() == counts


def test_there_are_examples_of_every_way_to_hold_a_note():
    tokens = {token for _, counts, _ in EXAMPLES for token in counts.split()}
    assert {"-", "-&", "-2"} <= tokens
