"""A table of faults on a deployed site: what was lost, doubled or refused, and how soon all works.

People go on while each fault lasts (tests/deployment/traffic.py). After it, new work is asked for
until it is done; at the end, all that anybody was told is kept is looked up in the database.
"""

from __future__ import annotations

import sys
import time
from collections import Counter, defaultdict
from dataclasses import dataclass, field

from tests.deployment.fault_list import FaultKind, chosen_faults, done_to, prepare_clock
from tests.deployment.machine import Machine
from tests.deployment.studio_site import People
from tests.deployment.traffic import Traffic

#: Seconds until all works again after a fault, and until the last work is done at the end: what was
#: lost on its way to a worker is asked for again every five minutes.
SOON, IN_THE_END = 90, 900
TABLES = {
    "entries": ("assignments_practiceentry", "note"),
    "takes": ("assignments_take", "id"),
    "assignments": ("assignments_assignment", "note"),
}
UNDONE = {
    "engravings": "SELECT count(*) FROM rhythms_rendering WHERE state <> 'done'",
    "takes": "SELECT count(*) FROM assignments_take WHERE state <> 'done'",
}


@dataclass
class Outcome:
    """Of one fault: answers by status, the longest time without one, seconds until all worked."""

    statuses: dict[int, int]
    silence: float
    recovered: float | None


@dataclass
class FaultTable:
    """By kind of fault, in order of the first of each."""

    outcomes: dict[str, list[Outcome]] = field(default_factory=lambda: defaultdict(list))

    def __str__(self) -> str:
        rows = [
            "| fault | times | answers | 5xx | none | longest silence | all works again after |",
            "| --- | ---: | ---: | ---: | ---: | ---: | ---: |",
        ]
        for name, found in sorted(self.outcomes.items()):
            answers = sum(sum(one.statuses.values()) for one in found)
            errors = sum(n for one in found for status, n in one.statuses.items() if status >= 500)
            none = sum(one.statuses.get(0, 0) for one in found)
            silence = max(one.silence for one in found)
            times = [one.recovered for one in found]
            works = "never" if None in times else f"{max(t for t in times if t is not None):.0f} s"
            cells = (name, len(found), answers, errors, none, f"{silence:.0f} s", works)
            rows.append(f"| {' | '.join(map(str, cells))} |")
        return "\n".join(rows)


def print_fault_table(machine: Machine, people: People, number: int, seed: int) -> bool:
    """Print it; returns whether nothing was lost, doubled or refused, and all worked again."""
    prepare_clock(machine)
    traffic, table = Traffic(people, seed), FaultTable()
    traffic.start()
    try:
        for fault in chosen_faults(number, seed):
            outcome = _tried(machine, traffic, fault)
            table.outcomes[fault.name].append(outcome)
            sys.stderr.write(f"{fault.name}: {outcome}\n")
    finally:
        traffic.stop()
    sys.stdout.write(f"{table}\n\n")
    sound = _print_kept(machine, traffic)
    return sound and all(o.recovered is not None for all_ in table.outcomes.values() for o in all_)


def _tried(machine: Machine, traffic: Traffic, fault: FaultKind) -> Outcome:
    time.sleep(2)
    traffic.ledger.begin()
    done_to(machine, fault)
    ended = time.monotonic()
    recovered = time.monotonic() - ended if _all_works(machine, traffic) else None
    return Outcome(dict(traffic.ledger.statuses), traffic.ledger.silence, recovered)


def _all_works(machine: Machine, traffic: Traffic) -> bool:
    """Whether, soon, pages answer and each worker has done something that came after this."""
    begin = time.time()
    end = time.monotonic() + SOON
    while time.monotonic() < end:
        if traffic.people.teacher.get("/health/").status == 200 and _workers_work(machine, begin):
            return True
        time.sleep(0.5)
    return False


def _workers_work(machine: Machine, since: float) -> bool:
    """Whether engravings and takes were done after this moment.

    Up to now: where a clock was ahead, rows say that they were done later than that.
    """
    lately = f"BETWEEN to_timestamp({since}) AND now()"
    engraved = f"SELECT count(*) FROM rhythms_rendering WHERE rendered_at {lately}"
    analysed = (
        f"SELECT count(*) FROM assignments_take WHERE state = 'done' AND analysed_at {lately}"
    )
    return all(_numbers(machine, query) != [0] for query in (engraved, analysed))


def _print_kept(machine: Machine, traffic: Traffic) -> bool:
    """Look up all that was sent; returns whether each is there once, and all work was done."""
    ledger, sound = traffic.ledger, not traffic.ledger.refused
    rows = [
        "| kept | sent | acknowledged | lost | doubled |",
        "| --- | ---: | ---: | ---: | ---: |",
    ]
    for kind, (table, column) in TABLES.items():
        there = Counter(_sql(machine, f"SELECT {column} FROM {table}"))
        lost = sum(name not in there for name in ledger.kept[kind])
        doubled = sum(there[name] > 1 for name in ledger.sent[kind])
        sent, kept = len(ledger.sent[kind]), len(ledger.kept[kind])
        rows.append(f"| {kind} | {sent} | {kept} | {lost} | {doubled} |")
        sound = sound and not lost and not doubled
    wrong = sum(not _is_mastered(machine, *one) for one in ledger.mastered.items())
    rows.append(f"| fills marked, by their last mark | | {len(ledger.mastered)} | {wrong} | |")
    undone = _undone_in_the_end(machine)
    rows.append(f"\nNot done in the end: {undone}. Refused: {len(ledger.refused)}.")
    sys.stdout.write("\n".join([*rows, *ledger.refused[:10], ""]))
    return sound and not wrong and not any(undone.values())


def _undone_in_the_end(machine: Machine) -> dict[str, int]:
    """What still waits when everything had time to be asked for again."""
    end = time.monotonic() + IN_THE_END
    while True:
        undone = {name: _numbers(machine, query)[0] for name, query in UNDONE.items()}
        if not any(undone.values()) or time.monotonic() > end:
            return undone
        time.sleep(5)


def _is_mastered(machine: Machine, fill: int, mastered: bool) -> bool:
    query = f"SELECT mastered_at IS NOT NULL FROM assignments_assignedvariation WHERE id = {fill}"
    return _sql(machine, query) == ["t" if mastered else "f"]


def _numbers(machine: Machine, query: str) -> list[int]:
    return [int(number) for number in _sql(machine, query)]


def _sql(machine: Machine, query: str) -> list[str]:
    psql = f'psql --no-align --tuples-only fillwright -c "{query}"'
    return machine.run(f"cd / && runuser -u fillwright -- {psql}").stdout.split()
