"""The seeded faults can be put in: running them is `python -m tests.faults.run_faults`."""

from collections import Counter

from tests.faults.run_faults import PROJECT
from tests.faults.seeded_faults import put_in, read_faults

PARTS, FAULTS = read_faults()


def test_what_each_changes_stands_once_in_its_file():
    texts = {path: (PROJECT / path).read_text() for path in {fault.path for fault in FAULTS}}
    times = {fault.id: fault.times_in(texts[fault.path]) for fault in FAULTS}
    assert {name: number for name, number in times.items() if number != 1} == {}


def test_there_are_sixty_and_more():
    assert len({fault.id for fault in FAULTS}) == len(FAULTS) >= 60


def test_each_part_has_some():
    found = Counter(fault.part for fault in FAULTS)
    assert found.keys() == PARTS.keys()
    assert min(found.values()) >= 6


def test_what_is_run_first_is_there():
    paths = [
        path for part in PARTS.values() for path in (*part.tests, *part.scripts, *part.browser)
    ]
    assert [path for path in paths if not (PROJECT / path).exists()] == []


def test_a_fault_is_taken_out_again(tmp_path):
    fault = FAULTS[0]
    file = tmp_path / fault.path
    file.parent.mkdir(parents=True)
    file.write_text(f"before {fault.old} after")
    with put_in(fault, tmp_path) as is_in:
        assert is_in
        assert file.read_text() == f"before {fault.new} after"
    assert file.read_text() == f"before {fault.old} after"
