"""Hooks of pytest-xdist: in how many processes the tests run, and what stays in one of them."""

import os
from pathlib import Path

import pytest

#: So few files are started sooner in one process than in several.
FEW_FILES = 3
#: What takes long for the number of its tests. It is begun first, so that no process ends up
#: waiting for another one.
LONG = (
    "tests/browser/offline/",
    "tests/browser/test_every_page.py",
    "tests/browser/test_player_timing.py",
    "tests/browser/test_whole_way.py",
    "tests/upgrade/",
    "tests/studio/operations/",
    "tests/studio/backups/",
    "tests/studio/test_reconnecting.py",
    "tests/studio/test_task_routes.py",
    "tests/assignments/demo/",
    "tests/notation/reading/test_hostile_files.py",
    "tests/rhythms/bench/",
    "tests/engine/takes/",
    "tests/test_permissions.py",
)
#: Files that stay together in one process, by what they share there: it is made once.
TOGETHER = {
    "tests/assignments/demo/": "the demo",
    "tests/studio/backups/": "a process with the libraries",
    "tests/studio/test_settings.py": "a process with the libraries",
    "tests/notation/sounds/": "the sounds",
    "tests/rhythms/sounds/": "the sounds",
}


@pytest.hookimpl(tryfirst=True)
def pytest_cmdline_main(config) -> None:
    """Have a process for each processor, unless `-n` says otherwise or pytest-xdist is off."""
    of_another = hasattr(config, "workerinput")
    if not of_another and getattr(config.option, "numprocesses", 0) is None:
        config.option.numprocesses = "auto"


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_auto_num_workers(config) -> int | None:
    """No process besides this one for a few files, nor for a database shared with a worker."""
    files = [Path(argument.partition("::")[0]) for argument in config.args]
    few = len(files) <= FEW_FILES and all(file.is_file() for file in files)
    return 0 if few or os.environ.get("TEST_DATABASE_NAME") else None


def long_ones_first(items: list[pytest.Item]) -> None:
    """Begin with what takes long; else the order stays."""
    items.sort(key=lambda item: not item.nodeid.startswith(LONG))


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    """Keep the tests of a file in one process, so that what a module prepares is made once."""
    from xdist.scheduler import LoadScopeScheduling

    config.option.loadscopereorder = False  # as they were collected, not by number of tests

    class ByFile(LoadScopeScheduling):
        def _split_scope(self, nodeid: str) -> str:
            file = nodeid.partition("::")[0]
            shared = (shared for start, shared in TOGETHER.items() if file.startswith(start))
            return next(shared, file)

    return ByFile(config, log) if config.getoption("dist") == "load" else None
