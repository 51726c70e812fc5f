"""Gate 5: a keeper's own table of 100,000 lines, looked at by the real server before anything is kept.

Eight quantities a line, dates and decimal commas as a spreadsheet of central Europe writes them. Memory is the most the
server's process ever held, less what it held before, over a file a tenth as long as well: what grows with the lines is
the file itself and the values that are counted once.
"""

import random
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path

import msgspec
from figures import Report
from household import Keeper, serving

LINES = 100_000
_HEAD = "Zeit;KH (°dKH);pH;Temp °C;NO3;NO2-N;Leitwert;O2 mg/l;GH"


def measure(report: Report, folder: Path, rounds: int) -> None:
    """Add gate 5 to the report.

    Source of the limits: our own. Three seconds are what a person waits for a screen without doubting it; the memory is
    half of what the smallest home computer has to spare.
    """
    seconds, grown_mb, small_mb = [], [], []
    for number in range(rounds):
        with serving(folder / f"past-{number}") as (port, pid):
            keeper = Keeper(port)
            _look(keeper, _table(10))
            before = _peak_mb(pid, anew=True)
            _look(keeper, _table(LINES // 10))
            small_mb.append(_peak_mb(pid) - before)
            seconds.append(_look(keeper, _table(LINES)))
            grown_mb.append(_peak_mb(pid) - before)
            keeper.wire.close()
    report.add(5, f"a table of {LINES:,} lines, looked at", seconds, "s", limit=3)
    report.add(5, "the server's memory grew by", grown_mb, "MB", limit=200, digits=0)
    report.add(5, "the server's memory grew by, a tenth of the lines", small_mb, "MB", digits=0)
    report.remark(f"gate 5: {LINES * 8:,} values in {len(_table(LINES)) / 1e6:.1f} MB of text")


def _look(keeper: Keeper, table: bytes) -> float:
    """Seconds for a preview of the table; every value of it understood, or it is no measurement.

    Some are repeated: half an hour that the clock skipped in spring falls onto the next.
    """
    request = keeper.wire.request("POST", "/api/past/preview?name=t.csv", table, {"Cookie": keeper.cookie})
    spent, status, body = keeper.wire.timed(request)
    told = msgspec.json.decode(body)
    if status != 200 or told["values"] + told["repeated"] != 8 * (table.count(b"\n") - 1) or told["bad_count"]:
        raise RuntimeError(f"/api/past/preview answered {status}: {body[:300].decode()}")
    return spent


def _table(lines: int) -> bytes:
    chance, start = random.Random(1), datetime(2020, 1, 1, tzinfo=UTC)
    rows = [_HEAD]
    for number in range(lines):
        at = start + timedelta(minutes=30 * number)
        values = (
            *(f"{chance.uniform(3, 7):.1f}", f"{chance.uniform(7, 8):.2f}", f"{chance.uniform(8, 20):.2f}"),
            *(chance.randint(5, 50), f"0,{chance.randint(1, 20):02}", chance.randint(200, 500)),
            *(f"{chance.uniform(8, 12):.2f}", f"{chance.uniform(3, 7):.1f}"),
        )
        rows.append(f"{at:%d.%m.%Y %H:%M};" + ";".join(str(value).replace(".", ",") for value in values))
    return ("\n".join(rows) + "\n").encode("cp1252")


def _peak_mb(pid: int, *, anew: bool = False) -> float:
    """The most memory the process held since this was asked `anew`. Source: proc(5), VmHWM [kB] and clear_refs."""
    if anew:
        Path(f"/proc/{pid}/clear_refs").write_text("5")
    found = re.search(r"^VmHWM:\s+(\d+) kB", Path(f"/proc/{pid}/status").read_text(), re.MULTILINE)
    assert found
    return int(found[1]) / 1024
