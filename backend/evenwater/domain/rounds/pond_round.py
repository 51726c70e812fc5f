"""The round of one pond, two weeks of it: placed, then stood down, held back or given an amount, then put in order."""

from collections.abc import Iterable, Sequence
from datetime import date, datetime

from msgspec.structs import replace

from evenwater.domain.entries import Set, zone_named
from evenwater.domain.fish.outlook import FishStock
from evenwater.domain.fold import Known, Seen
from evenwater.domain.pond import Pond
from evenwater.domain.rounds.amounts.pond_doses import give_amounts, planned_rises
from evenwater.domain.rounds.done import Done
from evenwater.domain.rounds.held.care import care_of
from evenwater.domain.rounds.held.held_jobs import hold_jobs
from evenwater.domain.rounds.jobs import Job
from evenwater.domain.rounds.placing import Placed, Placing, Versions, wanted
from evenwater.domain.rounds.pond_settings import with_cover, with_setting
from evenwater.domain.rounds.walk.order import in_walking_order
from evenwater.domain.rounds.wanted.conditions import evaluate_all
from evenwater.domain.rounds.wanted.told import Answered, Told
from evenwater.domain.rounds.when.civil_time import Sun, exists
from evenwater.domain.rounds.when.clock_windows import ClockWindows
from evenwater.domain.standing_job import AfterDone, Foretold, StandingJob, WhenTrue, WorkedOut
from evenwater.domain.warmth.page import Warm
from evenwater.domain.water.outlook import PondWater

_CARBON_SERVICES = ("carbon_agitated", "carbon_changed")


class PondRound:
    """The jobs of one pond by date. `finish` wants its Water page, which wants `rises`, the doses still to come.

    `said`: by date, what the order could not keep.
    """

    def __init__(self, known: Known, pond: Pond, dates: Sequence[date], now: datetime, warm: Warm) -> None:
        self.pond, self._known, self._warm, self._now = pond, known, warm, now
        self._clock = ClockWindows(pond)
        zone = zone_named(pond.zone)
        self._dates = [on for on in dates if exists(on, zone)]
        self._today = self._dates[0]
        facts = known.of_pond(pond.id)
        self._done = Done(facts)
        self._versions = _versions(known, pond.id, self._dates)
        self._placing = Placing(pond, self._dates, now, self._clock, self._done, facts, self._versions)
        self._begun = _begun(known, pond.id)
        self._told = Told(
            pond=pond,
            facts=facts,
            standing=self._versions[self._today],
            now=now,
            samples=warm.samples,
            warmth=warm.page,
        )
        self._answers: dict[tuple[str, date], Answered] = {}
        self.said: dict[date, tuple[str, ...]] = {}
        self.jobs: dict[date, list[Job]] = {on: [] for on in self._dates}
        self._add(self._placing.by_rule())
        self._ask_conditions(of_pages=False)
        self._amount_and_set()
        self.rises = planned_rises(pond, self.jobs, self._done)

    def sun(self, on: date) -> Sun:
        """Dawn and dusk at the pond, None where the place is not known."""
        return self._clock.sun(on)

    def finish(self, water: PondWater, fish: FishStock | None = None) -> None:
        """What hangs on the Water page, what must not happen now, and the order."""
        self._told = replace(self._told, water=water)
        self._ask_conditions(of_pages=True)
        if any(_of_pages(standing) and standing.shape != "plain" for standing in self._placing.rules()):
            self._amount_and_set()
        if water.carbon_due is not None:
            self._see_to_carbon(*water.carbon_due)
        care = care_of(self._known, self.pond, self._told.facts, self._warm.page, self._now, fish)
        for on in self._dates:
            held = hold_jobs(self.jobs[on], care, on, self._versions[on])
            self.jobs[on], self.said[on] = in_walking_order(held, self._versions[on], self.pond.places)

    def _add(self, placed: Iterable[Placed]) -> None:
        for one in placed:
            if not self._over_before_it_began(one) or self._done.answered(one.job):
                self.jobs[one.shown_on].append(one.job)

    def _over_before_it_began(self, one: Placed) -> bool:
        """Nobody is late with what was asked of nobody; what waits to be done is asked for from the next day on."""
        begun, job = self._begun.get(one.job.standing_job), one.job
        if begun is None or begun.on != job.due_on or not job.closes_at <= begun.at <= self._now:
            return False
        return job.fixed or one.shown_on == job.due_on

    def _ask_conditions(self, *, of_pages: bool) -> None:
        """Place what stands only while something holds, and stand down what is not wanted as things stand."""
        asked = {
            standing.id
            for standing in self._placing.rules()
            if (standing.only_if or isinstance(standing.recur, WhenTrue)) and _of_pages(standing) == of_pages
        }
        for standing in self._placing.rules():
            if standing.id in asked and isinstance(standing.recur, WhenTrue):
                ahead = any(isinstance(one, Foretold | WorkedOut) for one in standing.only_if)
                self._add(self._placing.when_true(standing, self._answer, ahead=ahead))
        for on in self._dates:
            for place, job in enumerate(self.jobs[on]):
                if job.standing_job in asked and not self._done.answered(job):
                    self.jobs[on][place] = self._as_asked(job, self._versions[on][job.standing_job], on)

    def _as_asked(self, job: Job, standing: StandingJob, on: date) -> Job:
        if isinstance(standing.recur, WhenTrue) or not standing.only_if or job.state == "not_known":
            return job
        said = self._answer(standing, on)
        if said.holds:
            return replace(job, reason=f"{job.reason} {said.reason}".strip())
        return replace(job, state="not_known" if said.holds is None else "stood_down", reason=said.reason)

    def _answer(self, standing: StandingJob, on: date) -> Answered:
        key = (standing.id, on)
        if key not in self._answers:
            self._answers[key] = evaluate_all(standing.only_if, self._told, on)
        return self._answers[key]

    def _amount_and_set(self) -> None:
        """What each dose and each setting comes to; asked again where the Water page has placed or stood down one."""
        self._set_by_warmth()
        give_amounts(self.pond, self._told.facts, self.jobs, self._done, self._now)

    def _set_by_warmth(self) -> None:
        advice = self._warm.advice
        for on in self._dates:
            for place, job in enumerate(self.jobs[on]):
                standing = self._versions[on][job.standing_job]
                if job.state == "open" and standing.shape == "setting":
                    job = with_setting(job, standing, advice, self.pond, self._done, self.jobs)
                elif job.state == "open" and not self._done.answered(job):
                    job = with_cover(job, standing, advice)
                self.jobs[on][place] = job

    def _see_to_carbon(self, due_on: date, reason: str) -> None:
        """The carbon's own readings say when it is due; the interval of the standing job was only the fall-back."""
        first = max(due_on, self._today)
        words = reason[:1].upper() + reason[1:] + "."
        jobs = self._versions.get(first, self._versions[self._today]).values()
        # Where it is agitated, that comes first: fresh carbon keeps its own time.
        of = next((name for name in _CARBON_SERVICES if any(job.service == name for job in jobs)), None)
        for standing in (job for job in jobs if of is not None and job.service == of):
            for slot in standing.windows:
                self._by_carbon(standing, slot, first, words)

    def _by_carbon(self, standing: StandingJob, slot: str, first: date, words: str) -> None:
        mine = (standing.id, slot)
        for on, jobs in self.jobs.items():
            for place, job in enumerate(jobs):
                if (job.standing_job, job.slot) == mine and job.state == "open" and not self._done.answered(job):
                    jobs[place] = replace(job, state="stood_down" if on < first else "open", reason=words)
        here = self.jobs.get(first)
        asked = wanted(standing, first) and (not standing.only_if or self._answer(standing, first).holds)
        if here is not None and asked and not any((job.standing_job, job.slot) == mine for job in here):
            days = standing.recur.days if isinstance(standing.recur, AfterDone) else None
            here.append(self._placing.job(standing, slot, first, words, days=days))


def _of_pages(standing: StandingJob) -> bool:
    return any(isinstance(one, WorkedOut) for one in standing.only_if)


def _begun(known: Known, pond: str) -> dict[str, Seen]:
    """The first setting of each standing job."""
    found: dict[str, Seen] = {}
    for one in known.settings:
        if isinstance(one.entry, Set) and one.entry.pond == pond and one.entry.target.startswith("job/"):
            name = one.entry.target.partition("/")[2]
            found[name] = min(one, found.get(name, one), key=lambda it: it.at)
    return found


def _versions(known: Known, pond: str, dates: Sequence[date]) -> Versions:
    """The standing jobs by date, looked up only where a setting begins."""
    turns = {
        one.entry.effective_from
        for one in known.settings
        if isinstance(one.entry, Set) and one.entry.pond == pond and one.entry.target.startswith("job/")
    }
    found: dict[date, dict[str, StandingJob]] = {}
    before: date | None = None
    for on in dates:
        same = before is not None and not any(turn is not None and before < turn <= on for turn in turns)
        jobs = found[before] if same and before else {job.id: job for job in known.standing_jobs(pond, on)}
        found[on], before = jobs, on
    return found
