"""Did it help: what a log with a change in it is made to say."""

from datetime import UTC, date, datetime, timedelta

import msgspec
import pytest
from written_log import DEVICE, PERSON, Log

from evenwater.domain.book.outlook import Effect, EffectLine
from evenwater.domain.fold import Seen, fold
from evenwater.domain.learn.change_effect import effects_of
from evenwater.domain.pond import Pond
from evenwater.domain.read_entries import read_entry
from evenwater.domain.standing_job import AfterDone, StandingJob

START = date(2026, 1, 1)
POND = Pond(id="main")
AGITATE = StandingJob(id="agitate", pond="main", text="Agitate", recur=AfterDone(90), service="carbon_agitated")


def noon(number: float) -> datetime:
    return datetime(2026, 1, 1, 12, tzinfo=UTC) + timedelta(days=number)


def agitated(log: Log, *days: int) -> None:
    for number in days:
        log.write("service", noon(number), service="carbon_agitated")


def changed(log: Log, made: float, noted: float | None = None, **names: object) -> str:
    """A change made and noted on these days."""
    at, number = noon(made), len(log.entries) + 1
    envelope = {"id": f"00000000-0000-0000-0000-{number:012x}", "v": 1, "pond": "main", "kind": "change", "zone": "UTC"}
    when = {
        "happened_at": at.isoformat(),
        "recorded_at": noon(made if noted is None else noted).isoformat(),
        "local_date": at.date().isoformat(),
    }
    said = {"text": "New medium", "device": DEVICE, "author": PERSON} | (names or {"jobs": ["agitate"]})
    log.entries.append(Seen(read_entry(msgspec.json.encode(envelope | when | said)), number, at, at.date()))
    return log.entries[-1].entry.id


def nine_daily(job: StandingJob = AGITATE) -> Log:
    """Agitated by need about every nine days, last on day 90."""
    log = Log()
    log.job(job)
    agitated(log, 0, 9, 19, 27, 36, 46, 54, 63, 72, 82, 90)
    return log


def effects(log: Log, today: float, pond: Pond = POND) -> tuple[Effect, ...]:
    log.write("look", noon(today), all_well=True)
    return effects_of(fold(log.entries), pond, noon(today))


def line(log: Log, today: float) -> EffectLine:
    (effect,) = effects(log, today)
    return effect.lines[0]


def test_a_work_not_needed_for_two_months_is_very_likely_needed_less():
    log = nine_daily()
    changed(log, 90)
    found = line(log, 151)
    assert (found.of, found.title, found.found) == ("job/agitate", "Agitate", "longer")
    assert found.says == "Every 9 days before (10 runs), none in 61 since: very likely longer now."
    assert found.workings is not None
    assert found.workings.inputs[0].value == "9, 10, 8, 9, 10, 8, 9, 9, 10, 8"


def test_soon_after_it_says_how_many_quiet_days_would_settle_it_and_they_do():
    log = nine_daily()
    changed(log, 90)
    early = line(log, 100)
    assert early.found == "too_early"
    more = int(early.says.split("about ")[1].split()[0])
    assert early.says == (
        f"Every 9 days before (10 runs), none in 10 since: too early: about {more} more quiet days would settle it."
    )
    assert line(nine_daily_with_change(90), 100 + more + 2).found == "longer"
    assert line(nine_daily_with_change(90), 100 + more - 4).found == "too_early"


def nine_daily_with_change(made: float, noted: float | None = None) -> Log:
    log = nine_daily()
    changed(log, made, noted)
    return log


def test_a_work_needed_thrice_as_often_is_very_likely_shorter():
    log = nine_daily_with_change(90)
    agitated(log, *range(93, 121, 3))
    found = line(log, 120)
    assert (found.found, found.says) == (
        "shorter",
        "Every 9 days before (10 runs), every 3 days since (10 runs): very likely shorter now.",
    )


def test_a_work_needed_as_before_shows_no_difference():
    log = nine_daily_with_change(90)
    agitated(log, *(90 + 9 * n for n in range(1, 21)))
    assert line(log, 271).found == "no_difference"


def test_a_change_in_mid_run_starts_the_clock_anew():
    found = line(nine_daily_with_change(94), 104)
    assert found.workings is not None
    assert [one.value for one in found.workings.inputs[1:]] == ["4", "none", "10"]


def test_a_change_noted_five_weeks_later_is_described_and_never_claimed_in_that_run():
    log = nine_daily_with_change(90, 125)
    for today in (126, 151, 250):
        found = line(log, today)
        assert found.found == "described"
    assert found.says == (
        "Every 9 days before (10 runs), none in 160 since; noted 35 days after the fact, so this run is no evidence: "
        "the next one will tell."
    )


def test_the_run_after_a_late_note_is_evidence():
    log = nine_daily_with_change(90, 125)
    agitated(log, 130)
    assert line(log, 135).found == "too_early"
    assert line(log, 191).found == "longer"


def test_a_change_noted_the_next_morning_in_an_ordinary_run_is_judged():
    log = nine_daily_with_change(92.4, 92.9)
    assert line(log, 151).found == "longer"


def test_a_change_noted_the_next_day_in_a_run_already_long_is_not():
    assert line(nine_daily_with_change(120.4, 120.9), 190).found == "described"


def test_a_keeper_who_wrote_nothing_down_saw_no_quiet_run():
    log = nine_daily_with_change(90)
    log.write("look", noon(95), all_well=True)
    (effect,) = effects_of(fold(log.entries), POND, noon(190))
    assert "none in 5 since" in effect.lines[0].says
    assert effect.lines[0].found == "too_early"


def test_a_work_done_by_its_interval_before_and_after_tells_nothing_however_the_interval_was_set():
    log = Log()
    log.job(AGITATE, recur={"every": "after_done", "days": 27})
    for done in (*range(0, 91, 9), *range(117, 230, 27)):
        log.tick("agitate", noon(done).date(), "midday", noon(done))
    changed(log, 90)
    found = line(log, 230)
    assert found.found == "too_early"
    assert "ended because it was due, which tells nothing of the pond" in found.says


def test_a_job_left_undone_past_its_day_is_not_taken_for_a_quiet_one():
    log = nine_daily(msgspec.structs.replace(AGITATE, recur=AfterDone(12)))
    changed(log, 90)
    found = line(log, 151)
    assert found.found == "too_early"
    assert "none in 12 since" in found.says
    assert found.says.endswith("would settle it, if it were not due already.")


def test_the_next_change_ends_the_history_of_the_one_before():
    log = nine_daily_with_change(90)
    agitated(log, 100)
    changed(log, 101)
    agitated(log, 180)
    latest, first = effects(log, 185)
    assert first.lines[0].workings is not None
    assert [one.value for one in first.lines[0].workings.inputs[2:]] == ["10", "1"]
    assert latest.lines[0].says.startswith("Too few to compare: 1 run ended by need before it")


def test_other_ponds_and_days_to_come_are_left_out():
    log = nine_daily_with_change(90)
    changed(log, 200)
    log.write("change", noon(95), pond="other", text="Elsewhere", jobs=["agitate"])
    assert [effect.on for effect in effects(log, 151)] == [noon(90).date()]


def test_a_change_that_names_nothing_has_no_line_and_a_pond_without_changes_no_effect():
    log = nine_daily()
    assert effects(log, 100) == ()
    entry = changed(log, 101, jobs=[])
    assert [(one.entry, one.text, one.lines) for one in effects(log, 102)] == [(entry, "New medium", ())]


def test_a_job_that_is_gone_is_called_by_its_id():
    log = Log()
    changed(log, 10, jobs=["rinse-drum"])
    assert line(log, 12).title == "rinse drum"


def read(log: Log, first: int, last: int, level: float, every: int = 1, quantity: str = "oxygen_mg_per_l") -> None:
    for number in range(first, last, every):
        wobble = 0.3 * ((number * 7 % 5) - 2) / 2
        log.write("reading", noon(number), quantity=quantity, value=round(level + wobble, 2))


def test_readings_that_stepped_up_are_said_to_be_higher_by_about_so_much():
    log = Log()
    read(log, 0, 45, 7.0)
    changed(log, 45, quantities=["oxygen_mg_per_l"])
    read(log, 46, 80, 8.0)
    found = line(log, 80)
    assert (found.of, found.title, found.found) == ("reading/oxygen_mg_per_l", "Oxygen", "higher")
    assert found.says.startswith("7 mg/L before, 8 mg/L since: very likely higher, by 1.0")


def test_readings_that_only_go_on_drifting_show_no_step():
    log = Log()
    for number in range(120):
        wobble = 0.3 * ((number * 7 % 5) - 2) / 2
        log.write("reading", noon(number), quantity="oxygen_mg_per_l", value=round(6.0 + 0.02 * number + wobble, 2))
    changed(log, 60, quantities=["oxygen_mg_per_l"])
    found = line(log, 121)
    assert found.found == "no_difference"
    assert found.says.startswith("6.73 mg/L before, 7.64 mg/L since: no difference to be seen, between 0.")


def test_too_few_readings_say_how_many_are_missing():
    log = Log()
    read(log, 0, 40, 7.0)
    changed(log, 40, quantities=["oxygen_mg_per_l"])
    read(log, 41, 44, 9.0)
    assert line(log, 44).says == "Too early: 3 days with readings since, 8 are needed."


def test_after_a_late_note_only_later_readings_count():
    log = Log()
    read(log, 0, 40, 7.0)
    changed(log, 40, 60, quantities=["oxygen_mg_per_l"])
    read(log, 41, 62, 9.0)
    found = line(log, 62)
    assert found.found == "described"
    assert "20 days after the fact, so only readings from then on are evidence: 1 day so far" in found.says
    read(log, 62, 80, 9.0)
    assert line(log, 80).found == "higher"


def test_of_several_points_the_one_read_most_about_the_change_is_told():
    log = Log()
    for number in range(80):
        for point, every in (("mains", 8), ("after_carbon", 1)):
            if number % every == 0:
                value = 20.0 if number > 40 else 60.0
                log.write(
                    "reading", noon(number), quantity="total_chlorine_ug_per_l", value=value + number % 3, point=point
                )
    changed(log, 40, quantities=["total_chlorine_ug_per_l"])
    found = line(log, 80)
    assert (found.title, found.found) == ("Total chlorine after the carbon", "lower")


@pytest.mark.parametrize("unit, words", (("°F", "°F"), (None, "°C")))
def test_a_step_is_told_in_the_keepers_unit(unit, words):
    log = Log()
    read(log, 0, 45, 18.0, quantity="temperature_c")
    changed(log, 45, quantities=["temperature_c"])
    read(log, 46, 80, 20.0, quantity="temperature_c")
    pond = Pond(id="main", units={"temperature_c": unit} if unit else {})
    (effect,) = effects(log, 80, pond)
    assert f" {words} (" in effect.lines[0].says


def test_readings_taken_at_another_time_of_day_since_are_described_where_the_day_has_its_course():
    log = Log()
    for quantity in ("ph", "kh_dkh"):
        for number in range(80):
            since = number > 40
            at = noon(number) + timedelta(hours=6 if since else -4)
            log.write("reading", at, quantity=quantity, value=7.5 + number % 3 / 10 + (1.0 if since else 0.0))
    log.entries.sort(key=lambda one: one.at)
    changed(log, 40, quantities=["ph", "kh_dkh"])
    (effect,) = effects(log, 80)
    ph, kh = effect.lines
    assert (ph.found, kh.found) == ("described", "higher")
    assert ph.says == ("7.6 before, 8.6 since, but read about 8 h before and 18 h since: its daily course is in that.")
