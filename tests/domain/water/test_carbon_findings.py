"""Agitate, change or leave alone: by what was read after the carbon, at this pond."""

from datetime import timedelta

import pytest
from written_log import NOW, starter

from evenwater.domain.fold import fold
from evenwater.domain.water.carbon_advice import advice_of, chlorine_day
from evenwater.domain.water.carbon_findings import carbon_findings
from evenwater.domain.water.carbon_runs import runs_of

DAY = timedelta(days=1)
JOBS = [starter("agitate")]


class Carbon:
    """A log of services and outlet readings."""

    def __init__(self, log) -> None:
        self.log = log
        log.pond(inflow_l_per_day=400.0, carbon={"bed_l": 9.0, "limit_ug_per_l": 20, "service_days": 14})

    def service(self, days_ago: float, service: str = "carbon_agitated") -> None:
        self.log.write("service", NOW - days_ago * DAY, service=service)

    def read(self, days_ago: float, value: float) -> None:
        at = NOW - days_ago * DAY
        self.log.read("total_chlorine_ug_per_l", value, at, point="after_carbon", step=10)

    def run(self, days_ago: float, lasted: float, service: str = "carbon_agitated") -> None:
        """A service and its readings, the last at the limit."""
        self.service(days_ago, service)
        self.read(days_ago - lasted * 0.4, 0)
        self.read(days_ago - lasted, 20)

    @property
    def pond(self):
        return fold(self.log.entries).ponds(NOW.date())[0]

    @property
    def facts(self):
        return fold(self.log.entries).of_pond("main")

    @property
    def advice(self):
        return advice_of(self.pond, self.facts, NOW.date(), JOBS)

    def life(self, now=NOW):
        return {one.id: one for one in carbon_findings(self.pond, self.facts, now, JOBS)}["carbon-life"]


@pytest.fixture
def carbon(log):
    return Carbon(log)


def test_without_readings_the_fixed_interval_is_left(carbon):
    carbon.service(5)
    assert advice_of(carbon.pond, carbon.facts, NOW.date(), JOBS) is None
    assert "fixed interval of 14 days" in carbon.life().says


def test_without_a_carbon_bed_there_is_nothing_to_say(log):
    log.pond(inflow_l_per_day=400.0)
    assert carbon_findings(fold(log.entries).ponds(NOW.date())[0], (), NOW) == []


def test_a_tick_of_the_agitation_job_is_a_service(carbon):
    carbon.log.tick("agitate", (NOW - 4 * DAY).date(), "midday", NOW - 4 * DAY)
    assert [one.kind for one in runs_of(carbon.facts, JOBS, NOW)] == ["agitated"]
    assert runs_of(carbon.facts, [], NOW) == []


def test_fresh_carbon_that_reads_nothing_is_left_alone(carbon):
    for ago in (50, 38, 26):
        carbon.run(ago, 11)
    carbon.service(4)
    carbon.read(2, 0)
    advice = carbon.advice
    assert advice.act == "leave"
    assert NOW.date() < advice.due_on <= (NOW + 8 * DAY).date()
    assert carbon.life().answer == "in_range"


def test_the_day_foretold_is_kept_with_its_band_until_the_limit_is_read(carbon):
    for ago in (50, 38, 26):
        carbon.run(ago, 11)
    carbon.service(4)
    day = chlorine_day(carbon.pond, carbon.advice)
    assert day is not None
    assert (day.serviced_on, day.limit_ug_per_l) == ((NOW - 4 * DAY).date(), 20)
    assert day.serviced_on < day.low < day.middle < day.high
    assert abs((day.middle - day.serviced_on).days - 11) <= 3
    carbon.read(1, 30)
    assert chlorine_day(carbon.pond, carbon.advice) is None


def test_a_reading_at_the_limit_asks_for_agitation_on_its_day(carbon):
    carbon.run(60, 30, "carbon_changed")
    carbon.run(29, 11)
    carbon.service(12)
    carbon.read(1, 30)
    advice = carbon.advice
    assert (advice.act, advice.due_on, advice.over) == ("agitate", (NOW - DAY).date(), True)
    assert "30 µg/L" in advice.reason
    assert carbon.life().answer == "act_now"
    assert carbon.life().cautions


def test_a_later_reading_below_the_limit_takes_it_back(carbon):
    carbon.service(12)
    carbon.read(3, 30)
    carbon.read(1, 0)
    assert not carbon.advice.over


def test_carbon_that_reads_the_limit_at_once_after_agitating_is_to_be_changed(carbon):
    carbon.run(60, 20)
    carbon.service(3)
    carbon.read(2, 30)
    assert carbon.advice.act == "change"


def test_carbon_that_lasts_half_as_long_as_it_used_to_is_to_be_changed(carbon):
    for ago in (60, 45, 30):
        carbon.run(ago, 13)
    carbon.service(6)
    carbon.read(1, 20)
    assert carbon.advice.act == "change"
    assert "used to be 13" in carbon.advice.reason


def test_new_carbon_at_the_limit_is_agitated_first(carbon):
    carbon.service(5, "carbon_changed")
    carbon.read(1, 40)
    assert carbon.advice.act == "agitate"


def test_carbon_late_in_its_usual_run_is_drifting_before_it_reads_anything(carbon):
    for ago in (70, 55, 40):
        carbon.run(ago, 12)
    carbon.service(20)
    carbon.read(18, 0)
    assert carbon.life().answer == "drifting"


def test_a_reading_of_nothing_moves_the_day_later_and_never_says_never(carbon):
    carbon.service(10)
    carbon.read(9, 0)
    early = carbon.advice.life
    carbon.read(1, 0)
    late = carbon.advice.life
    assert early.middle_days < late.middle_days < 100
    assert late.low_days < late.middle_days < late.high_days


def test_changed_carbon_is_expected_to_last_longer_than_agitated(carbon):
    for ago in (100, 60):
        carbon.run(ago, 30, "carbon_changed")
        carbon.run(ago - 30, 9)
    carbon.service(2)
    carbon.read(1, 0)
    life = carbon.advice.life
    assert life.next_changed_days > 2 * life.next_agitated_days


def test_one_mistyped_reading_does_not_spend_the_carbon_for_good(carbon):
    for ago in (62, 50, 38, 26):
        carbon.run(ago, 11)
    carbon.service(8)
    carbon.read(6, 600)
    carbon.read(4, 0)
    carbon.read(1, 0)
    assert carbon.advice.life.middle_days > 7


def test_nothing_changes_between_midnights(carbon):
    carbon.run(40, 11)
    carbon.service(4)
    carbon.read(2, 0)
    assert carbon.life() == carbon.life(NOW + timedelta(hours=7))
    assert carbon.life() != carbon.life(NOW + DAY)


def test_short_contact_is_told_where_the_mains_carry_chloramine(carbon):
    carbon.log.pond(mains={"disinfectant": "chloramine"}, membrane={"recovery_fraction": 0.25})
    # 9 L of carbon under 1600 L a day: 8.1 minutes.
    one = {one.id: one for one in carbon_findings(carbon.pond, carbon.facts, NOW, JOBS)}["carbon-contact"]
    assert (one.big, one.answer) == ("8 min", "drifting")
