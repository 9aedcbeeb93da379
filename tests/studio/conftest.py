"""Processes that start with the libraries loaded."""

import pytest

from tests.studio.ready_process import ready


@pytest.fixture(scope="session")
def run():
    """Runs code in a new process, under an environment of its own."""
    with ready() as run:
        yield run
