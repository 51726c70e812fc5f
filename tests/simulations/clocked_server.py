"""`evenwater serve` in a process of its own, with a clock that is set from outside and looked at often.

Little is imported here: every process that is started reads this file.
"""

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any


def run_with_clock(command: list[str], frontend: Path, shift_s: Any) -> None:
    """Serve; the clock is the machine's and so many seconds, which may change meanwhile.

    `frontend`: a small one, where no browser calls; packing the real one takes longer than all else of a start.
    """
    from evenwater import main
    from evenwater.delivery import clock

    main._now = lambda: datetime.now(UTC) + timedelta(seconds=shift_s.value)
    clock.LOOK_EVERY_S = 0.03
    main.FRONTEND = frontend
    main.run(command)
