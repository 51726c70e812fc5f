"""The year on one page: seasons, yearly rules, steps of the heater, and when each was done."""

from datetime import UTC, date, datetime, timedelta

from msgspec.structs import replace
from written_log import NOW, Log, starter

from evenwater.domain.book.year import asks_for, year_of
from evenwater.domain.fold import fold
from evenwater.domain.standing_job import ByRule, Season

TODAY = NOW.date()
NET = replace(starter("agitate"), id="net", text="Leaf net on", season=Season("10-01", "11-30"))
FEED = replace(starter("cover"), id="winter", text="Winter look", season=Season("11-15", "03-01"))
SERVICE = replace(
    starter("agitate"), id="pump", text="Service the pump", recur=ByRule("FREQ=YEARLY"), starts_on=date(2020, 4, 10)
)
MONTHLY = replace(
    starter("agitate"), id="trip", text="Trip test", recur=ByRule("FREQ=MONTHLY;BYDAY=1SA"), starts_on=date(2020, 1, 1)
)
WEEKLY = replace(
    starter("agitate"), id="week", text="Test", recur=ByRule("FREQ=WEEKLY;BYDAY=SA"), starts_on=date(2020, 1, 1)
)


def kept(*jobs) -> Log:
    log = Log()
    log.pond(volume_l=20_000)
    for job in jobs:
        log.job(job)
    return log


def lines(log: Log, today: date = TODAY, **long_ago: list[date]):
    known = fold(log.entries)
    (pond,) = known.ponds(today)
    return {one.standing_job: one for one in year_of(known, pond, long_ago, today)}


def test_a_season_has_this_year_s_dates_and_those_on_which_it_was_done():
    log = kept(NET)
    log.tick("net", date(2026, 10, 20), "midday", NOW - timedelta(days=14))
    line = lines(log, net=[date(2025, 10, 8)])["net"]
    assert (line.title, line.begins, line.ends) == ("Leaf net on", date(2026, 10, 1), date(2026, 11, 30))
    assert (line.done, line.last_year) == ((date(2026, 10, 20),), (date(2025, 10, 8),))


def test_work_done_a_little_early_belongs_to_the_season_it_was_meant_for():
    line = lines(kept(NET), net=[date(2025, 9, 20), date(2026, 9, 28)])["net"]
    assert (line.done, line.last_year) == ((date(2026, 9, 28),), (date(2025, 9, 20),))


def test_a_winter_over_new_year_is_one_winter():
    done = [date(2025, 1, 9), date(2025, 12, 3), date(2026, 2, 1), date(2026, 11, 10)]
    in_november = lines(kept(FEED), winter=done)["winter"]
    assert (in_november.begins, in_november.ends) == (date(2026, 11, 15), date(2027, 3, 1))
    assert (in_november.done, in_november.last_year) == ((done[3],), (done[1], done[2]))
    in_february = lines(kept(FEED), date(2026, 2, 10), winter=done[:3])["winter"]
    assert (in_february.begins, in_february.ends) == (date(2025, 11, 15), date(2026, 3, 1))
    assert (in_february.done, in_february.last_year) == ((done[1], done[2]), (done[0],))


def test_a_yearly_rule_stands_on_its_day_and_a_monthly_one_from_its_first_to_its_last():
    found = lines(kept(SERVICE, MONTHLY, WEEKLY), pump=[date(2025, 4, 2), date(2026, 5, 1)])
    assert (found["pump"].begins, found["pump"].ends) == (date(2026, 4, 10), date(2026, 4, 10))
    assert (found["pump"].done, found["pump"].last_year) == ((date(2026, 5, 1),), (date(2025, 4, 2),))
    assert (found["trip"].begins, found["trip"].ends) == (date(2026, 1, 3), date(2026, 12, 5))
    assert "week" not in found


def test_work_done_over_and_over_shows_its_first_and_last_day():
    days = [date(2026, 10, 1) + timedelta(days=one) for one in range(30)]
    assert lines(kept(NET), net=days)["net"].done == (days[0], days[-1])


def test_a_step_down_shows_its_days_and_those_of_the_year_before():
    log = kept(starter("heater"))
    for year in (2025, 2026):
        season = {"from_c": 18, "to_c": 12, "starts_on": f"{year}-10-24", "degrees_per_step": 2, "days_per_step": 5}
        log.write("set", NOW, target="pond", field="season", value=season)
    log.tick("heater", date(2026, 10, 29), "dusk", datetime(2026, 10, 29, 18, tzinfo=UTC), setting_c=16)
    line = lines(log)["heater"]
    assert line.title == "Step-down, 18 °C to 12 °C"
    assert (line.begins, line.ends) == (date(2026, 10, 24), date(2026, 11, 8))
    assert line.done == (date(2026, 10, 29),)
    assert line.last_year == (date(2025, 10, 24), date(2025, 11, 8))


def test_lines_stand_in_the_order_of_the_year():
    assert list(lines(kept(FEED, NET, SERVICE, MONTHLY))) == ["trip", "pump", "net", "winter"]


def test_only_work_of_the_year_and_the_heater_is_asked_for():
    jobs = fold(kept(FEED, NET, WEEKLY, starter("heater"), starter("buffer")).entries).standing_jobs("main", TODAY)
    assert asks_for(jobs, TODAY) == ["heater", "net", "winter"]


def test_the_29th_of_february_ends_a_season_in_every_year():
    leap = replace(NET, season=Season("02-01", "02-29"))
    assert lines(kept(leap))["net"].ends == date(2026, 2, 28)
    assert lines(kept(leap), date(2028, 2, 3))["net"].ends == date(2028, 2, 29)


def test_a_season_over_before_its_job_began_is_shown_for_its_first_time():
    begun = replace(NET, season=Season("01-10", "02-25"), starts_on=TODAY)
    line = lines(kept(begun))["net"]
    assert (line.begins, line.ends) == (date(2027, 1, 10), date(2027, 2, 25))
    done = lines(kept(begun), net=[date(2026, 1, 20)])["net"]
    assert (done.begins, done.done) == (date(2026, 1, 10), (date(2026, 1, 20),))
