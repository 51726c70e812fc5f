"""The log as a plan needs it, folded, and read on: one new entry costs one new row."""

from datetime import datetime, timedelta

from msgspec import Struct

from evenwater.domain.book.rests_on import pages_rest_on
from evenwater.domain.entries import Change, Set
from evenwater.domain.fold import Fold, Known, seen
from evenwater.domain.rounds.histories import jobs_with_history
from evenwater.domain.rounds.wanted.told import REMEMBERED_DAYS
from evenwater.storage.database import Database
from evenwater.storage.plan_log import last_seq, read_for_plan, read_on, ticks_of

REMEMBERED = timedelta(days=REMEMBERED_DAYS)


class Standing(Struct, frozen=True):
    """What stands, up to which entry; `told` is another number whenever something came that a page may rest on."""

    known: Known
    log_seq: int
    told: int


class LogReader:
    """What stands in the log for a plan; not for two callers at once."""

    def __init__(self, database: Database) -> None:
        self._database = database
        self._told = 0
        self._epoch: str | None = None
        self.forget()

    def forget(self) -> None:
        """Read the log anew next time: what was read before may no longer be what a plan rests on."""
        self._fold = Fold()
        self._horizon: datetime | None = None
        self._histories: frozenset[tuple[str, str]] = frozenset()
        self._log_seq = 0
        self._told += 1

    async def standing(self, now: datetime) -> Standing:
        """All that stands at `now`; read anew each day, so that a server that runs long knows what a fresh one does."""
        epoch = await self._database.epoch()
        if epoch != self._epoch:  # what was read may have been blanked since, by another process
            self._epoch = epoch
            self.forget()
        horizon = (now - REMEMBERED).replace(hour=0, minute=0, second=0, microsecond=0)
        if self._horizon != horizon or not await self._read_on(horizon, now):
            await self._read_anew(horizon, now)
        return Standing(self._fold.known(), self._log_seq, self._told)

    async def _read_on(self, horizon: datetime, now: datetime) -> bool:
        rows = await read_on(self._database, self._log_seq, horizon)
        if rows is None:
            return False
        if not rows:
            return True
        fresh = [seen(one) for one in rows]
        self._fold.add(fresh)
        self._log_seq = rows[-1].seq
        known = self._fold.known()
        self._told += pages_rest_on(fresh, known.settings)
        asks_anew = any(isinstance(one.entry, Set | Change) for one in fresh)
        return not asks_anew or jobs_with_history(known, now.date()) <= self._histories

    async def _read_anew(self, horizon: datetime, now: datetime) -> None:
        self.forget()
        # Before the rest: what comes meanwhile is read once more, and what no plan reads is not asked for again.
        last = await last_seq(self._database)
        rows = await read_for_plan(self._database, horizon)
        self._fold.add(seen(one) for one in rows)
        self._histories = jobs_with_history(self._fold.known(), now.date())
        if self._histories:
            self._fold.add(seen(one) for one in await ticks_of(self._database, sorted(self._histories), horizon))
        self._horizon = horizon
        self._log_seq = last
