"""One round, four ways to read it: the app, paper, mail and calendar say the same jobs, amounts and reasons.

What the app shows is what `round_now` answers: its browser's copy gives the same in every case of device_cases.json.
`tests/journeys/test_same_on_the_screen.py` reads the words off a real page.
"""

import asyncio
import re
import shutil
from datetime import UTC, date, datetime, time, timedelta
from html import unescape
from pathlib import Path
from typing import NamedTuple

import pytest

from evenwater.delivery.render.daily_list import daily_list
from evenwater.delivery.render.feed import feed_contents
from evenwater.delivery.render.printable import printable_round
from evenwater.domain.fold import Seen
from evenwater.domain.rounds.jobs import Job, Plan
from evenwater.domain.rounds.today import JobNow, jobs_on, round_now
from evenwater.example import load_example
from evenwater.settings import Settings
from evenwater.storage.database import Database
from evenwater.web.plans.planning import Planner

ROOT = Path(__file__).parents[3]
POURED_AT = datetime(2026, 11, 24, 16, 20, tzinfo=UTC)
WANTED = ("upcoming", "due", "late")
MOMENTS = [
    *(datetime.combine(date(2026, 11, 24), at, UTC) for at in (time(16, 20), time(19), time(23, 30))),
    *(datetime.combine(date(2026, 11, 25), at, UTC) for at in (time(5), time(7, 45), time(12), time(17, 30))),
    *(datetime.combine(date(2026, 11, 24) + timedelta(days=days), time(8), UTC) for days in (2, 5, 9)),
]


class Stands(NamedTuple):
    """A round as the app has it."""

    plan: Plan
    facts: tuple[Seen, ...]
    at: datetime
    on: date
    stops: list[tuple[Job, JobNow]]


class Said(NamedTuple):
    """What one way says of a job: what to do, how much, and why; in a calendar the title holds the first two."""

    what: str
    much: str
    why: str


@pytest.fixture(scope="module")
def household(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("same")
    settings = Settings(data=folder, frontend=ROOT / "frontend", example=True)
    asyncio.run(load_example(settings, ROOT / "seed_scenario", lambda: POURED_AT, fresh=False))
    return folder


@pytest.fixture(params=MOMENTS, ids=lambda at: f"{at:%a %H:%M}")
async def stands(request: pytest.FixtureRequest, household: Path, tmp_path: Path) -> Stands:
    shutil.copytree(household, tmp_path / "data")
    database = await Database.open(Settings(data=tmp_path / "data", frontend=ROOT / "frontend").database)
    try:
        at: datetime = request.param
        plan, facts = await Planner(database).plan_and_facts(at)
    finally:
        await database.close()
    on = plan.days[0].date
    jobs = jobs_on(plan.days, facts, plan.log_seq, on)
    now = round_now(plan.days, facts, plan.log_seq, plan.good_until, at, on)
    return Stands(plan, facts, at, on, list(zip(jobs, now, strict=True)))


def much_of(stands: Stands, job: Job, now: JobNow) -> set[str]:
    """Every part of how much the app shows."""
    if now.state not in WANTED:
        return set()
    if job.shape == "feed" and job.feed_g:
        return {f"{job.feed_g:.0f} g"}
    if now.amount_g:
        return {f"{now.amount_g:.0f} g", "capful"}
    return {job.amount} if job.amount else set()


def on_paper(stands: Stands) -> list[Said]:
    jobs, now = [job for job, _ in stands.stops], [one for _, one in stands.stops]
    page = printable_round(stands.plan, jobs, now, stands.on, stands.at)
    found: list[Said] = []
    for section in re.findall(r"<section>(.*?)</section>", page):
        (what,) = re.findall(r"<b>[☐☒] (.*?)</b>", section)
        much = re.findall(r"<p class=amount>(.*?)</p>", section)
        why = re.findall(r"<p>(.*?)</p>", section)[0]
        found.append(Said(unescape(what), unescape("".join(much)), unescape(why)))
    return found


def by_mail(stands: Stands) -> tuple[list[Said], list[str], str]:
    """The jobs wanted, then a line each for the others, and the plain text."""
    jobs, now = [job for job, _ in stands.stops], [one for _, one in stands.stops]
    written = daily_list(stands.plan, jobs, now, stands.on, stands.at)
    found: list[Said] = []
    for what, rest in re.findall(r"<h3>(.*?)</h3>(.*?)(?=<h[23]>|$)", written.html):
        much = re.findall(r"<strong>(.*?)</strong>", rest)
        why = re.findall(r"<p>(?!<strong>)(.*?)</p>", rest)[0]
        found.append(Said(unescape(what), unescape("".join(much)), unescape(why)))
    return found, [unescape(one) for one in re.findall(r"<li>(.*?)</li>", written.html)], written.text


def in_the_calendar(stands: Stands) -> dict[str, Said]:
    person = next(iter(stands.plan.person_names))
    contents = feed_contents(stands.plan, stands.facts, stands.at, person, "none", "https://pond.example/round")
    return {one.uid.removesuffix(f"@{person}"): Said(one.title, one.title, one.text) for one in contents.events}


def test_paper_mail_and_calendar_say_what_the_app_says(stands: Stands) -> None:
    paper, (mail, others, text), calendar = on_paper(stands), by_mail(stands), in_the_calendar(stands)
    wanted = [(job, now) for job, now in stands.stops if now.state in WANTED]
    assert len(stands.stops) >= 5 and len(paper) == len(stands.stops)
    assert len(mail) == len(wanted) and len(mail) + len(others) == len(stands.stops)
    for (job, now), said in zip(stands.stops, paper, strict=True):
        assert (said.what, said.why) == (job.text, now.reason)
        assert all(part in said.much for part in much_of(stands, job, now))
        assert bool(said.much) == bool(much_of(stands, job, now))
    for (job, now), said in zip(wanted, mail, strict=True):
        assert said.what.startswith(job.text) and said.why == now.reason
        assert all(part in said.much for part in much_of(stands, job, now))
        assert bool(said.much) == bool(much_of(stands, job, now))
        assert f"- {said.what}\n" in text and said.why in text and said.much in text
    for job, now in stands.stops:
        if now.state == "stood_down":
            assert f"{job.pond}/{job.id}" not in calendar
            continue
        said = calendar[f"{job.pond}/{job.id}"]
        assert job.text in said.much and now.reason in said.why
        assert all(part in said.much for part in much_of(stands, job, now))
    paper_amounts = {(said.what, said.much) for said in paper if said.much}
    mail_amounts = {(said.what.partition(" (")[0].partition(", ")[0], said.much) for said in mail if said.much}
    assert paper_amounts == mail_amounts


def test_what_is_not_wanted_says_in_mail_what_became_of_it(stands: Stands) -> None:
    _, others, _ = by_mail(stands)
    rest = [(job, now) for job, now in stands.stops if now.state not in WANTED]
    for (job, now), line in zip(rest, others, strict=True):
        assert line.startswith(job.text)
        assert now.state == "done" or now.reason in line


def test_days_to_come_are_in_the_calendar_as_the_app_has_them_planned(stands: Stands) -> None:
    calendar = in_the_calendar(stands)
    for day in stands.plan.days[1:]:
        for job in day.jobs:
            said = calendar.get(f"{job.pond}/{job.id}")
            if job.state == "stood_down":
                continue
            assert said is not None and job.reason in said.why
            if job.state == "open" and job.amount_g:
                assert f"{job.amount_g:.0f} g" in said.much


async def test_the_moments_looked_at_show_amounts_and_every_common_state(household: Path, tmp_path: Path) -> None:
    shutil.copytree(household, tmp_path / "data")
    database = await Database.open(Settings(data=tmp_path / "data", frontend=ROOT / "frontend").database)
    planner, stops = Planner(database), []
    try:
        for at in MOMENTS:
            plan, facts = await planner.plan_and_facts(at)
            stops += round_now(plan.days, facts, plan.log_seq, plan.good_until, at, plan.days[0].date)
    finally:
        await database.close()
    assert {"upcoming", "due", "late", "done"} <= {one.state for one in stops}
    assert sum(1 for one in stops if one.amount_g) >= 5
