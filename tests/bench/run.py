"""Runs the gates asked for and prints one table. Started by __main__.py inside the project's environment."""

import argparse
import os
import platform
import sqlite3
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

import first_load
import flush
import heater
import past
import photo_queue
import push
import slow_phone
import ten_years
import winter
from figures import Report

GATES: dict[int, Callable[[Report, Path, int], None]] = {
    1: push.measure,
    2: flush.measure,
    3: slow_phone.measure,
    4: first_load.measure,
    5: past.measure,
    6: heater.measure,
    7: winter.measure,
    8: ten_years.measure,
    9: photo_queue.measure,
}


def main() -> None:
    parser = argparse.ArgumentParser(prog="python3 tests/bench", description="Speed and size, against stated peers.")
    parser.add_argument(
        "gates", nargs="*", type=int, choices=sorted(GATES), metavar="gate", help="1 to 9 (default: all)"
    )
    parser.add_argument("--rounds", type=int, default=5, help="rounds per gate (default %(default)s)")
    asked = parser.parse_args()
    report = Report()
    with tempfile.TemporaryDirectory(prefix="evenwater-bench-") as folder:
        for number in asked.gates or sorted(GATES):
            print(f"bench: gate {number} …", flush=True)
            GATES[number](report, Path(folder), asked.rounds)
    report.remark(
        f"{platform.machine()}, {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f} at the end;"
        f" Python {platform.python_version()}, SQLite {sqlite3.sqlite_version}"
    )
    report.show()
    sys.exit(0 if report.all_met else 1)


if __name__ == "__main__":
    main()
