"""What can be said of the deployment without a machine to run it on; run_page.py runs it."""

import re
from collections import Counter

from tests.deployment.fault_list import KINDS, UNITS, chosen_faults
from tests.deployment.run_page import PAGE, PROJECT, blocks_of

FOLDER = PAGE.parent


def test_each_block_of_commands_on_the_page_is_run():
    marks = re.findall(r"^```.*$", PAGE.read_text(), re.MULTILINE)
    assert marks == ["```sh", "```"] * len(blocks_of(PAGE.read_text()))


def test_each_unit_in_the_folder_is_started_by_the_page():
    started = set(re.findall(r"fillwright-[a-z]+@?", "".join(blocks_of(PAGE.read_text()))))
    assert {path.stem for path in FOLDER.glob("fillwright-*.*")} == started


def test_each_unit_that_a_fault_hits_is_in_the_folder():
    files = {path.stem for path in FOLDER.glob("*.service")}
    assert {re.sub("@.*", "@", unit) for unit in UNITS} <= files


def test_each_variable_of_the_environment_file_is_in_the_table_of_the_readme():
    told = set(re.findall(r"^\| `([A-Z_]+)`", (PROJECT / "README.md").read_text(), re.MULTILINE))
    assert (
        set(re.findall(r"^#?([A-Z_]+)=", (FOLDER / "fillwright.env").read_text(), re.MULTILINE))
        <= told
    )


def test_a_hundred_faults_are_of_all_kinds_alike():
    counted = Counter(kind.name for kind in chosen_faults(100, seed=1))
    assert len(counted) == len(KINDS)
    assert max(counted.values()) - min(counted.values()) <= 1
