"""What a package offers is imported when it is asked for, and all of it can be."""

import subprocess
import sys
from importlib import import_module

import pytest

LATE = ("rhythms.engine", "rhythms.notation")


@pytest.mark.parametrize("package", LATE)
def test_all_that_a_package_offers_can_be_imported(package):
    offered = import_module(package)
    for name in offered.__all__:
        assert getattr(offered, name) is not None


@pytest.mark.parametrize("package", LATE)
def test_what_a_package_does_not_offer_is_said_to_be_missing(package):
    with pytest.raises(AttributeError, match=f"module '{package}' has no attribute 'no_such'"):
        assert import_module(package).no_such


@pytest.mark.parametrize("heavy", ["numpy", "verovio", "lxml", "rhythms.engine.picking"])
def test_who_reads_the_strokes_of_a_file_waits_for_nothing_else(heavy):
    asked = f"import sys, rhythms.notation.reading.strokes; sys.exit({heavy!r} in sys.modules)"
    assert subprocess.run([sys.executable, "-c", asked], check=False).returncode == 0
