"""Places a pond's standing jobs on the days of a plan: which date each stands under, with its window and why."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.fold import Facts
from evenwater.domain.pond import Pond
from evenwater.domain.rounds.done import Done, History
from evenwater.domain.rounds.job_words import calendar_words, with_why
from evenwater.domain.rounds.jobs import Job, State
from evenwater.domain.rounds.walk.late import patience
from evenwater.domain.rounds.wanted.told import Answered, day_words
from evenwater.domain.rounds.when.cadence import cadence_of
from evenwater.domain.rounds.when.civil_time import exists
from evenwater.domain.rounds.when.clock_windows import ClockWindows
from evenwater.domain.rounds.when.recurrence import by_calendar, calendar_dates, missed_date, repeated_dates
from evenwater.domain.rounds.when.season_days import in_season
from evenwater.domain.standing_job import StandingJob, WhenTrue

Versions = Mapping[date, Mapping[str, StandingJob]]
"""The standing jobs as they hold on each date, by id; the same mapping while nothing changes."""
Ask = Callable[[StandingJob, date], Answered]
_A_DAY = timedelta(days=1)
_OPEN: Final[State] = "open"
_STOOD_DOWN: Final[State] = "stood_down"


class Placed(Struct, frozen=True):
    """A job and the date it is shown on."""

    shown_on: date
    job: Job


class Placing:
    """The placing of one pond."""

    def __init__(
        self,
        pond: Pond,
        dates: Sequence[date],
        now: datetime,
        clock: ClockWindows,
        done: Done,
        facts: Facts,
        versions: Versions,
    ) -> None:
        self._pond, self._dates, self._now, self._clock = pond, dates, now, clock
        self._done, self._facts, self._versions = done, facts, versions
        self._today, self._last = dates[0], dates[-1]
        self._rules: dict[str, StandingJob] = {}
        for standing in (one for on in dates for one in versions[on].values()):
            self._rules.setdefault(standing.id, standing)
        self._next: dict[tuple[str, str], dict[date, tuple[datetime, datetime]]] = {}

    def rules(self) -> list[StandingJob]:
        """Every standing job of the plan's days, as it holds on the first of them that has it."""
        return list(self._rules.values())

    def by_rule(self) -> Iterator[Placed]:
        """All jobs that stand whatever is measured."""
        for standing in self.rules():
            for slot in standing.windows:
                history = self._done.history(standing, slot)
                if by_calendar(standing.recur):
                    yield from self._by_calendar(standing, slot, history)
                elif not isinstance(standing.recur, WhenTrue):
                    yield from self._by_cadence(standing, slot, history)

    def when_true(self, standing: StandingJob, ask: Ask, *, ahead: bool) -> Iterator[Placed]:
        """A job that stands while its conditions hold; `ahead`: on days to come as well."""
        assert isinstance(standing.recur, WhenTrue)
        rest = max(1, standing.recur.rest_days) * _A_DAY
        for slot in standing.windows:
            history = self._done.history(standing, slot)
            answered = history.answered_on(self._today)
            yield from self._shown(standing, slot, answered, "Asked for and answered today.")
            rests_until = history.counts_from + rest if history.counts_from else self._today
            for on in [*self._open_yesterday(standing, slot), *(self._dates if ahead else self._dates[:1])]:
                if on < rests_until or on in answered or not wanted(standing, on):
                    continue
                said = ask(standing, max(on, self._today))
                if said.holds or (said.holds is None and on == self._today):
                    state: State = "open" if said.holds else "not_known"
                    yield from self._shown(standing, slot, [on], said.reason, state=state)
                    rests_until = max(on, self._today) + rest if said.holds else rests_until

    def _by_calendar(self, standing: StandingJob, slot: str, history: History) -> Iterator[Placed]:
        dates = set(self._calendar(standing)) | set(self._open_yesterday(standing, slot))
        dates = {on for on in dates if on >= self._today or on not in history.answered}
        dates |= history.answered_on(self._today)
        missed = missed_date(standing, history, self._today)
        for due_on in sorted(dates | ({missed} if missed else set())):
            says, state = calendar_words(standing, slot, due_on, self._clock), _OPEN
            if due_on in history.served_on and due_on not in history.answered:
                says, state = f"Done {day_words(due_on, self._today)} already: it was noted by itself.", _STOOD_DOWN
            yield from self._shown(standing, slot, [due_on], says, state=state, again_today=self._today in dates)

    def _calendar(self, standing: StandingJob) -> Iterator[date]:
        """Dates from today on, each by the rule as it holds by then."""
        for on in self._dates:
            held = self._versions[on].get(standing.id)
            if held is not None and by_calendar(held.recur):
                yield from calendar_dates(held, on, on)

    def _open_yesterday(self, standing: StandingJob, slot: str) -> list[date]:
        """Yesterday, where it has a window past midnight that is still open."""
        yesterday = self._today - _A_DAY
        if not exists(yesterday, self._clock.zone):
            return []
        if self._now > self._clock.window(standing.windows[slot], yesterday)[1]:
            return []
        if isinstance(standing.recur, WhenTrue):
            return [yesterday]
        return list(calendar_dates(standing, yesterday, yesterday))

    def _by_cadence(self, standing: StandingJob, slot: str, history: History) -> Iterator[Placed]:
        cadence = cadence_of(standing, history, self._done, self._pond, self._facts, self._today)
        answered = history.answered_on(self._today)
        if not cadence.known:
            asked = [self._today] if wanted(standing, self._today) else []
            reason = f"Not known: {cadence.says}."
            yield from self._shown(standing, slot, sorted({*answered, *asked}), reason, state="not_known")
            return
        dates: set[date] = set(answered)
        if cadence.days is not None:
            dates |= set(repeated_dates(standing, history, cadence.days, cadence.first_due, self._today, self._last))
        yield from self._shown(standing, slot, sorted(dates), cadence.says, days=cadence.days)

    def _shown(
        self,
        standing: StandingJob,
        slot: str,
        dates: Sequence[date] | frozenset[date],
        says: str,
        *,
        days: int | None = None,
        state: State = "open",
        again_today: bool = False,
    ) -> Iterator[Placed]:
        """The jobs of these dates, as the rule holds on the date each is shown on."""
        for due_on in dates:
            shown_on = max(due_on, self._today)
            held = self._versions[shown_on].get(standing.id) if shown_on in self._versions else None
            if held is not None and slot in held.windows:
                job = self.job(held, slot, due_on, with_why(held, says), days=days, state=state)
                if due_on < self._today and again_today:
                    # Past midnight it is still last night's; today's own makes a late one pointless.
                    job = replace(job, lapses_at=job.closes_at)
                yield Placed(shown_on, job)

    def job(
        self,
        standing: StandingJob,
        slot: str,
        due_on: date,
        reason: str,
        *,
        days: int | None = None,
        state: State = "open",
    ) -> Job:
        """One job of a standing job; `days`: how many after it was done the next one is due."""
        window = standing.windows[slot]
        opens_at, closes_at = self._clock.window(window, due_on)
        waits_until, serious_at = patience(standing, closes_at, self._clock.zone)
        name = standing.texts.get(slot, standing.text)
        return Job(
            id=f"{standing.id}/{due_on.isoformat()}/{slot}",
            standing_job=standing.id,
            due_on=due_on,
            slot=slot,
            pond=self._pond.id,
            place=standing.place,
            part=window.part,
            name=name,
            text=name,
            opens_at=opens_at,
            closes_at=closes_at,
            lapses_at=self._clock.lapses_at(standing, due_on, opens_at) if len(standing.windows) > 1 else None,
            state=state,
            reason=reason,
            serious=standing.serious,
            waits_until=waits_until,
            serious_at=serious_at,
            who=standing.who,
            fixed=by_calendar(standing.recur) and standing.shape == "plain" and not standing.only_if,
            cautions=standing.cautions,
            how=standing.how,
            shape=standing.shape,
            minutes=standing.minutes,
            amount=standing.amount,
            asks=standing.asks,
            picture=standing.picture,
            kit=standing.kit,
            after_done_days=days,
            next_windows=self._next_windows(standing, slot) if days else None,
        )

    def _next_windows(self, standing: StandingJob, slot: str) -> dict[date, tuple[datetime, datetime]]:
        window = standing.windows[slot]
        key = (window.opens, window.closes)
        if standing.season is None and key in self._next:
            return self._next[key]
        found = {on: self._clock.window(window, on) for on in self._dates if in_season(standing.season, on)}
        if standing.season is None:
            self._next[key] = found
        return found


def wanted(standing: StandingJob, on: date) -> bool:
    """Whether a date lies in the job's season, and not before it begins."""
    return in_season(standing.season, on) and (standing.starts_on is None or on >= standing.starts_on)
