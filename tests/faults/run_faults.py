"""Put in each seeded fault, one at a time, and see whether the tests notice.

    python -m tests.faults.run_faults [--part NAME] [--only ID] [--before REVISION]

The tests of the fault's part run first, then the whole suite as the README has it, each until
the first failure. With `--before`, the suite of that revision runs against those faults that
this one misses. Prints a table in Markdown.
"""

import argparse
import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Sequence
from pathlib import Path

from tests.faults.seeded_faults import Fault, Part, copy_of, put_in, read_faults

PROJECT = Path(__file__).resolve().parents[2]
#: Seconds for one run; a fault that makes the tests wait for ever is noticed as well.
PATIENCE = 1200
BY_PART, BY_SUITE, IN_BROWSER = "tests of the part", "whole suite", "browser"
MISSED = "missed"
BEFORE, NOT_BEFORE, NO_BEFORE = "caught before", "missed before", "not in the code of before"
#: How tests end that notice something: 2 where several processes are stopped at the first failure.
FAILED = (1, 2)
NODE = ("bash", ".ci/javascript/run")


def run(command: Sequence[str], project: Path, **environment: str) -> bool:
    """Whether the command fails, as tests do that notice; anything else than tests is an error."""
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
        return True
    if done.returncode not in (0, *FAILED):
        raise RuntimeError(f"{command} ended with {done.returncode}:\n{done.stdout[-3000:]}")
    return done.returncode in FAILED


def pytest(project: Path, *arguments: str, browser: bool = False) -> bool:
    """Whether a test fails."""
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", *arguments]
    command += ["--ignore", "tests/faults"]  # they notice every fault by its text
    if browser:
        return run(command, project)
    return run([*command, "-m", "not browser and not worker"], project, CHROMIUM="/nowhere")


def noticed_by(fault: Fault, part: Part, project: Path) -> str:
    """Which tests notice the fault that is in the project, or `MISSED`."""
    if fault.is_script and part.scripts and run(NODE, project, TESTS_OF_SCRIPTS="1"):
        return BY_PART
    if not fault.is_script and pytest(project, "-n0", *part.tests):
        return BY_PART
    if fault.is_script and pytest(project, "-n0", *part.browser, browser=True):
        return IN_BROWSER
    return BY_SUITE if pytest(project) else MISSED


def noticed_before(fault: Fault, before: Path, moved: dict[str, str]) -> str:
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


def results_of(
    faults: Iterable[Fault], parts: dict[str, Part], before: str | None, kept: Path | None
) -> dict[str, list[str]]:
    """Each fault's id with what noticed it, and where that is nothing, what came of before.

    `kept` is a file of results: what stands there is not run again.
    """
    lines = kept.read_text().splitlines() if kept and kept.exists() else []
    results: dict[str, list[str]] = dict(json.loads(line) for line in lines)
    with tempfile.TemporaryDirectory(prefix="faults-") as scratch:
        here, there = copy_of(PROJECT, Path(scratch) / "here"), Path(scratch) / "before"
        if before:
            worktree = ["git", "worktree", "add", "--detach", str(there), before]
            subprocess.run(worktree, cwd=PROJECT, check=True, capture_output=True)
        moved = paths_at(before) if before else {}
        for fault in faults:
            if fault.id in results:
                continue
            with put_in(fault, here) as is_in:
                assert is_in, f"{fault.id}: its text does not stand once in {fault.path}"
                found = [noticed_by(fault, parts[fault.part], here)]
            if found == [MISSED] and before:
                found.append(noticed_before(fault, there, moved))
            results[fault.id] = found
            sys.stderr.write(f"{fault.id}: {', '.join(found)}\n")
            if kept:
                with kept.open("a") as file:
                    file.write(f"{json.dumps([fault.id, found])}\n")
        if before:
            remove = ["git", "worktree", "remove", "--force", str(there)]
            subprocess.run(remove, cwd=PROJECT, check=True)
    return results


def table(faults: Sequence[Fault], results: dict[str, list[str]]) -> str:
    """The results by part, and below them each fault that was missed."""
    columns = (BY_PART, IN_BROWSER, BY_SUITE, MISSED)
    rows = [f"| part | faults | {' | '.join(columns)} |", "| --- " * 6 + "|"]
    for part in [*dict.fromkeys(fault.part for fault in faults), "all"]:
        found = [results[f.id][0] for f in faults if part in (f.part, "all")]
        counts = [str(found.count(column)) for column in columns]
        rows.append(f"| {part} | {len(found)} | {' | '.join(counts)} |")
    missed = [
        f"- {fault.id} ({', '.join(results[fault.id])}): {fault.effect}"
        for fault in faults
        if results[fault.id][0] == MISSED
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
    results = results_of(wanted, parts, chosen.before, chosen.results)
    sys.stdout.write(f"{table(wanted, results)}\n")


if __name__ == "__main__":
    main()
