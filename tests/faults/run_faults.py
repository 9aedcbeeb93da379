"""Put in each seeded fault, one at a time, and see whether the tests notice.

    python -m tests.faults.run_faults [--part NAME] [--only ID] [--before REVISION]

The tests of the fault's part run first, then the whole suite as the README has it, each until
the first failure. With `--before`, the suite of that revision runs against those faults that
this one misses. Prints a table in Markdown.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

from tests.faults.seeded_faults import Fault, Part, copy_of, put_in, read_faults

PROJECT = Path(__file__).resolve().parents[2]
#: Seconds for one run; a fault that makes the tests wait for ever is noticed as well.
PATIENCE = 1200
BY_PART, BY_SUITE, IN_BROWSER = "tests of the part", "whole suite", "browser"
MISSED = "missed"
BEFORE, NOT_BEFORE, NO_BEFORE = "caught before", "missed before", "not in the code of before"
#: How tests end that notice something: 2 where several processes are stopped at the first failure.
FAILED = (1, 2)
FIRST_FAILURE = re.compile(r"^(?:FAILED|ERROR|\s*not ok \d+ -) (\S.*?)(?: - .*)?$", re.MULTILINE)
NODE = ("bash", ".ci/javascript/run")


class Result(NamedTuple):
    """Who noticed a fault, by which test; and what the suite of before does with a missed one."""

    by: str
    test: str = ""
    before: str = ""


def run(command: Sequence[str], project: Path, **environment: str) -> str:
    """The test that fails first, or "": any other end than that of tests is an error."""
    try:
        done = subprocess.run(
            command,
            cwd=project,
            env=os.environ | environment,
            capture_output=True,
            text=True,
            timeout=PATIENCE,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return "waits for ever"
    if done.returncode not in (0, *FAILED):
        written = (done.stdout + done.stderr)[-3000:]
        raise RuntimeError(f"{command} ended with {done.returncode}:\n{written}")
    found = FIRST_FAILURE.search(done.stdout) if done.returncode else None
    return found[1] if found else "a test" if done.returncode else ""


def pytest(project: Path, *arguments: str, browser: bool = False) -> str:
    """The test that fails first, or ""."""
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", *arguments]
    command += ["--ignore", "tests/faults"]  # they notice every fault by its text
    if browser:
        return run(command, project)
    return run([*command, "-m", "not browser and not worker"], project, CHROMIUM="/nowhere")


def noticed(fault: Fault, part: Part, project: Path) -> Result:
    """Which tests notice the fault that is in the project."""
    tries: list[tuple[str, Callable[[], str]]] = [(BY_SUITE, lambda: pytest(project))]
    if fault.is_script:
        tries.insert(0, (IN_BROWSER, lambda: pytest(project, "-n0", *part.browser, browser=True)))
        if part.scripts:
            tries.insert(0, (BY_PART, lambda: run(NODE, project, TESTS_OF_SCRIPTS="1")))
    else:
        tries.insert(0, (BY_PART, lambda: pytest(project, "-n0", *part.tests)))
    for by, tests in tries:
        if test := tests():
            return Result(by, test)
    return Result(MISSED)


def noticed_before(fault: Fault, before: Path, moved: Mapping[str, str]) -> str:
    """Whether the suite of before notices it, in the code of before."""
    with put_in(fault, before, moved) as is_in:
        if not is_in:
            return NO_BEFORE
        return BEFORE if pytest(before, "-p", "no:xdist") else NOT_BEFORE


def paths_at(revision: str) -> dict[str, str]:
    """Where the files of now stood at the revision, as far as git finds them again."""
    changes = ["git", "diff", "--name-status", "--find-renames=30%", revision, "HEAD"]
    listed = subprocess.run(changes, cwd=PROJECT, capture_output=True, text=True, check=True)
    rows = [line.split("\t") for line in listed.stdout.splitlines()]
    return {row[2]: row[1] for row in rows if row[0].startswith("R")}


@contextmanager
def project_at(revision: str | None, folder: Path) -> Iterator[Path]:
    """The project as it was, in this folder; the folder is not made without a revision."""
    if not revision:
        yield folder
        return
    worktree = ["git", "worktree", "add", "--detach", str(folder), revision]
    subprocess.run(worktree, cwd=PROJECT, check=True, capture_output=True)
    try:
        yield folder
    finally:
        subprocess.run(
            ["git", "worktree", "remove", "--force", str(folder)], cwd=PROJECT, check=True
        )


def run_all(
    faults: Iterable[Fault], parts: Mapping[str, Part], before: str | None, results: Results
) -> None:
    """Run what has no result yet. Raises RuntimeError where tests fail without a fault."""
    moved = paths_at(before) if before else {}
    with (
        tempfile.TemporaryDirectory(prefix="faults-") as scratch,
        project_at(before, Path(scratch) / "before") as there,
    ):
        here = copy_of(PROJECT, Path(scratch) / "here")
        if broken := pytest(here):
            raise RuntimeError(f"Without any fault {broken} fails.")
        for fault in faults:
            if fault.id in results.by_id:
                continue
            with put_in(fault, here) as is_in:
                assert is_in, f"{fault.id}: its text does not stand once in {fault.path}"
                result = noticed(fault, parts[fault.part], here)
            if result.by == MISSED and before:
                result = result._replace(before=noticed_before(fault, there, moved))
            results.keep(fault, result)


class Results:
    """Results by the fault's id, kept in a file of JSON lines so that a run can go on."""

    def __init__(self, path: Path | None) -> None:
        self.path = path
        lines = path.read_text().splitlines() if path and path.exists() else []
        self.by_id = {name: Result(*found) for name, found in map(json.loads, lines)}

    def keep(self, fault: Fault, result: Result) -> None:
        self.by_id[fault.id] = result
        sys.stderr.write(f"{fault.id}: {', '.join(filter(None, result))}\n")
        if self.path:
            with self.path.open("a") as file:
                file.write(f"{json.dumps([fault.id, result])}\n")

    def table(self, faults: Sequence[Fault]) -> str:
        """The results by part, and below them each fault that was missed."""
        columns = (BY_PART, IN_BROWSER, BY_SUITE, MISSED)
        rows = [f"| part | faults | {' | '.join(columns)} |", "| --- " * 6 + "|"]
        for part in [*dict.fromkeys(fault.part for fault in faults), "all"]:
            found = [self.by_id[f.id].by for f in faults if part in (f.part, "all")]
            counts = [str(found.count(column)) for column in columns]
            rows.append(f"| {part} | {len(found)} | {' | '.join(counts)} |")
        missed = [
            f"- {fault.id}: {fault.effect} {self.by_id[fault.id].before}".rstrip()
            for fault in faults
            if self.by_id[fault.id].by == MISSED
        ]
        return "\n".join([*rows, "", *missed])


def main() -> None:
    parts, faults = read_faults()
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--part", choices=parts, action="append", help="only faults of this part")
    options.add_argument("--only", metavar="ID", action="append", help="only this fault")
    options.add_argument("--before", metavar="REVISION", help="compare with the suite of then")
    options.add_argument("--results", type=Path, metavar="FILE", help="keep results, and go on")
    chosen = options.parse_args()
    wanted = [
        fault
        for fault in faults
        if (not chosen.part or fault.part in chosen.part)
        and (not chosen.only or fault.id in chosen.only)
    ]
    results = Results(chosen.results)
    run_all(wanted, parts, chosen.before, results)
    sys.stdout.write(f"{results.table(wanted)}\n")


if __name__ == "__main__":
    main()
