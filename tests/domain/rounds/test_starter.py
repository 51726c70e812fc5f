"""A keeper's year on offer: every job of it is valid, says why in a line, and cautions where the work can hurt."""

import re
from datetime import date, timedelta
from itertools import pairwise

import msgspec
import pytest
from domain.rounds.rounds_jobs import a_job
from hypothesis import given
from hypothesis import strategies as st
from written_log import NOW, Log

from evenwater.domain.fold import fold
from evenwater.domain.rounds.standing_jobs import STARTER
from evenwater.domain.rounds.starter import GROUPS, jobs_of, offered
from evenwater.domain.rounds.starter.group import StarterGroup
from evenwater.domain.rounds.walk.order import in_walking_order
from evenwater.domain.standing_job import AfterDone, Happened, StandingJob, WhenTrue

TODAY = NOW.date()
JOBS = jobs_of(GROUPS)
BY_ID = {job.id: job for job in JOBS}
every_job = pytest.mark.parametrize("job", JOBS, ids=lambda job: job.id)
# Whose reason is worked out anew for each day.
REASONED = {"cover", "buffer", "heater", "agitate"}


def test_the_groups_are_those_of_a_year_and_what_happens_in_it():
    titles = {group.id for group in GROUPS}
    assert titles >= {"daily", "weekly", "monthly", "spring", "summer", "autumn", "winter", "leaving", "coming-home"}
    assert len(titles) == len(GROUPS)
    assert all(group.jobs and group.says.endswith(".") for group in GROUPS)


def test_no_two_jobs_share_an_id_or_a_place_in_the_order():
    assert len(BY_ID) == len(JOBS)
    assert len({job.order for job in JOBS}) == len(JOBS)


def test_what_a_new_household_begins_with_is_among_them():
    assert {job.id for job in STARTER} == REASONED
    assert all(BY_ID[job.id] == job for job in STARTER)


@every_job
def test_a_job_can_be_set_up_as_it_stands(job: StandingJob):
    log = Log()
    log.pond()
    (offer,) = (one for one in jobs_of(offered(TODAY, 52.0)) if one.id == job.id)
    log.job(offer)
    made = [one for one in fold(log.entries).standing_jobs("main", TODAY) if one.id == job.id]
    if not job.active:
        assert made == []
        log.job(offer, active=True)
        made = fold(log.entries).standing_jobs("main", TODAY)
    assert [msgspec.structs.replace(one, pond="", active=job.active) for one in made] == [offer]


@every_job
def test_a_job_says_why_in_one_line(job: StandingJob):
    if job.id in REASONED:
        return
    assert job.why is not None
    assert job.why.endswith(".") and "\n" not in job.why
    assert len(job.why) <= 64


@every_job
def test_a_job_has_a_name_that_fits_a_phone_and_takes_some_time(job: StandingJob):
    assert 3 < len(job.text) <= 52
    assert 1 <= job.minutes <= 60


# What the work touches, and a word its caution must then hold. Risks and their order: HSE's leaflets on electricity,
# manual handling and hazardous substances, as far as the design pages quote them.
RISKS = {
    "electricity": (
        r"[Pp]ump|drum|tube|ultraviolet|wiring|socket|residual|filter, then start",
        r"[Uu]nplug|elec",
    ),
    "chemicals": (r"^Test|test (?!button)|[Bb]uffer|[Cc]alibrate|Clean the membrane", r"[Gg]loves"),
    "mains water": (r"cartridge|membrane, or|pre-filter|Backflow|Flush", r"pressure|by-law"),
    "lifting": (r"Covers|Pump: lift|prop and clear|Bowl|hand's breadth", r"[Ll]ift|two"),
    "ice": (r"\bice\b", r"[Nn]obody on ice"),
    "net": (r"net (on|off)", r"children"),
}


@pytest.mark.parametrize("risk", RISKS)
def test_a_job_that_can_hurt_cautions_at_the_act(risk: str):
    touches, caution = RISKS[risk]
    bare = []
    for job in JOBS:
        names = " ".join((job.text, *job.texts.values()))
        harmless = job.place == "Indoors" or job.id in {"quarantine-move", "test-conductivity"}
        if re.search(touches, names) and not harmless and not re.search(caution, " ".join(job.cautions)):
            bare.append(job.id)
    assert bare == []


def test_every_risk_is_met_by_some_job():
    for touches, _ in RISKS.values():
        assert any(re.search(touches, job.text) for job in JOBS)


def test_no_job_diagnoses_or_treats():
    said = " ".join(" ".join((job.text, job.why or "", job.how or "", *job.cautions)) for job in JOBS)
    assert not re.search(r"medicine|antibiotic|formalin|malachite|salt bath|dose of|parasite|cure", said, re.IGNORECASE)
    assert "vet" in said and "authority" in said


@every_job
def test_what_a_job_waits_for_or_asks_about_is_there(job: StandingJob):
    assert set(job.after) <= set(BY_ID)
    asked = [one.subject for one in job.only_if if isinstance(one, Happened)]
    assert all(not one.startswith("job/") or one.removeprefix("job/") in BY_ID for one in asked)


@every_job
def test_a_job_that_waits_for_a_condition_has_one_or_is_off(job: StandingJob):
    if isinstance(job.recur, WhenTrue):
        assert job.only_if or not job.active


def test_all_of_it_is_walked_without_a_ring():
    jobs = [
        a_job(job.id, place=job.place, part=window.part, slot=slot, id=f"{job.id}/{slot}")
        for job in JOBS
        for slot, window in job.windows.items()
    ]
    walked, said = in_walking_order(jobs, BY_ID, ("At the water", "Filter house", "Quarantine tank", "Indoors"))
    assert len(walked) == len(jobs)
    assert said == ()
    for part in ("morning", "midday", "dusk", "bedtime"):
        places = [job.place for job in walked if job.part == part]
        assert len([1 for one, other in pairwise(places) if one != other]) < 4


def test_tests_come_before_the_dose_and_the_dose_after_food():
    assert {"test-kh", "feed"} <= set(BY_ID["buffer"].after)
    assert BY_ID["flush-membrane"].after == ("agitate",)
    assert set(BY_ID["test-chlorine"].after) == {"agitate", "flush-membrane"}


def test_seasons_turn_round_south_of_the_equator():
    north = {job.id: job for job in jobs_of(offered(TODAY, 52.0))}
    south = {job.id: job for job in jobs_of(offered(TODAY, -34.0))}
    season = south["net-on"].season
    assert season is not None and (season.begins, season.ends) == ("03-24", "05-10")
    assert south["feed"] == north["feed"]
    turned = {job.id for job in JOBS if south[job.id] != north[job.id]}
    assert turned == {job.id for job in JOBS if job.season is not None}


@given(st.dates(date(2024, 1, 1), date(2030, 12, 31)), st.one_of(st.none(), st.floats(-66, 66)))
def test_whatever_the_day_and_place_every_season_has_days_of_the_year(on, latitude):
    for job in jobs_of(offered(on, latitude)):
        if job.season is not None:
            for day in (job.season.begins, job.season.ends):
                assert date.fromisoformat(f"2027-{day}")


def test_not_all_that_repeats_falls_on_the_first_day():
    starts = [job.starts_on for job in jobs_of(offered(TODAY, 52.0)) if isinstance(job.recur, AfterDone)]
    heavy = [one for one in starts if one is not None and one <= TODAY + timedelta(days=1)]
    assert len([one for one in starts if one is not None]) >= 10
    assert len(heavy) <= 5


def test_whoever_begins_in_the_midst_of_a_season_gets_its_work_one_by_one():
    october = date(2026, 10, 14)
    starts = {job.id: job.starts_on for job in jobs_of(offered(october, 52.0)) if job.season is not None}
    yearly = [starts[name] for name in ("net-on", "bowl", "step-down", "covers-check")]
    assert yearly == [october + timedelta(days=days) for days in (3, 6, 9, 12)]
    assert starts["winter-marks"] is None


def test_what_a_season_that_is_nearly_over_still_asks_is_asked_at_once():
    starts = {job.id: job.starts_on for job in jobs_of(offered(date(2026, 11, 9), 52.0))}
    assert starts["net-on"] is None


def test_the_offer_travels_small_and_comes_back_whole():
    groups = offered(TODAY, 52.0)
    sent = msgspec.json.encode(groups)
    assert len(sent) < 45_000
    assert msgspec.json.decode(sent, type=tuple[StarterGroup, ...]) == groups
