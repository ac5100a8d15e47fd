"""What only a process of its own can tell: how soon it is ready, what memory it takes, how two share the computer."""

import os
import subprocess
import sys
import time
from dataclasses import dataclass

# What a worker process does before its first answer.
_FRESH = "from simulator import engine; engine.warm()"
_MEMORY = """
import resource
from simulator import engine
from simulator.benchmark.workloads import WORKING, HOUR, average
from simulator.rig import load_rigs
engine.warm()
work = average(load_rigs()["twin-60"])
engine.advance(work.p, work.start, WORKING, 60.0)
before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
engine.advance(work.p, work.start, WORKING, HOUR)
print(before, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""
# Runs ten minutes over and over for a second, once it is told to start.
_BUSY = """
import sys, time
from simulator import engine
from simulator.benchmark.workloads import average
from simulator.rig import load_rigs
work = average(load_rigs()["twin-60"])
work.ours(engine.TOLERANCE)
print("ready", flush=True)
sys.stdin.readline()
count, end = 0, time.perf_counter() + 1.0
while time.perf_counter() < end:
    work.ours(engine.TOLERANCE)
    count += 1
print(count, flush=True)
"""


@dataclass(frozen=True)
class Processes:
    """Figures of whole processes."""

    ready_seconds: float  # of the clock, from nothing to the first answer
    ready_processor_seconds: float
    import_megabytes: float  # with the engine ready
    hour_megabytes: float  # above that, for an hour recorded
    two_over_one: float  # runs of two processes at once over those of one alone
    processors: int


def measure_processes() -> Processes:
    """Measure all of it."""
    wall, processor = min(_ready() for _ in range(3))
    before, after = (int(kilobytes) / 1024 for kilobytes in _output(_MEMORY).split())
    alone, together = _counts(1), _counts(2)
    return Processes(
        wall, processor, before, after - before, sum(together) / alone[0], len(os.sched_getaffinity(0))
    )


def _ready() -> tuple[float, float]:
    """Seconds of the clock and of the processor that a fresh Python takes to load and warm the engine."""
    before, began = os.times(), time.perf_counter()
    _output(_FRESH)
    wall, after = time.perf_counter() - began, os.times()
    used = (after.children_user - before.children_user) + (after.children_system - before.children_system)
    return wall, used


def _output(words: str) -> str:
    done = subprocess.run(  # noqa: S603  our own interpreter and words
        [sys.executable, "-c", words], check=True, capture_output=True, text=True
    )
    return done.stdout


def _counts(processes: int) -> list[int]:
    """Ten-minute runs in one second, of so many processes at once."""
    workers = [
        subprocess.Popen(  # noqa: S603  our own interpreter and words
            [sys.executable, "-c", _BUSY], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
        )
        for _ in range(processes)
    ]
    for worker in workers:
        assert worker.stdout is not None  # noqa: S101  asked for above
        worker.stdout.readline()
    return [int(answer.split()[0]) for answer in _all_at_once(workers)]


def _all_at_once(workers: list["subprocess.Popen[str]"]) -> list[str]:
    for worker in workers:
        assert worker.stdin is not None  # noqa: S101  asked for above
        worker.stdin.write("go\n")
        worker.stdin.flush()
    return [worker.communicate()[0] for worker in workers]
