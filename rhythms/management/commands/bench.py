"""`manage.py bench`: a table of times, to be read with its ratios."""

import os
import platform
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from rhythms.bench import (
    bench_counting,
    bench_hostile,
    bench_libraries,
    bench_picking,
    bench_takes,
    bench_watchers,
    bench_writing,
    solver,
)
from rhythms.bench.bench_timer import QUICK, THOROUGH, baseline, seconds
from rhythms.bench.table import heading, lines


class Command(BaseCommand):
    help = "Time the engine and the engraver, and compare them with general-purpose libraries."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--quick", action="store_true", help="fewer runs, rougher figures")

    def handle(self, *args: Any, quick: bool, **options: Any) -> None:
        effort = QUICK if quick else THOROUGH
        machine = f"Python {platform.python_version()}, {os.cpu_count()} processors."
        loop = seconds(baseline, effort.runs)
        self.stdout.write(f"{machine} {heading(loop)}")
        measured = (
            *bench_counting.sections(effort),
            *bench_watchers.sections(effort),
            bench_hostile.section(effort),
            bench_hostile.section(effort, together=True),
            bench_picking.section(effort),
            *bench_takes.sections(effort),
            bench_writing.section(effort),
            solver.section(effort),
            bench_libraries.section(effort),
        )
        for line in lines(measured, loop):
            self.stdout.write(line)
