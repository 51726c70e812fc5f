"""What somebody must hear of, as it comes from the plan and the log."""

from datetime import datetime, timedelta
from uuid import UUID

from msgspec.structs import replace
from written_log import NOW, PERSON, Log, starter

from evenwater.domain.fold import fold
from evenwater.domain.rounds.heard.alarms import Concern
from evenwater.domain.rounds.heard.concerns import concerns
from evenwater.domain.warmth.outlook import WarmthFinding

MINUTE, HOUR, DAY = timedelta(minutes=1), timedelta(hours=1), timedelta(days=1)
JO = str(UUID(int=9))
NAMES = {PERSON: "Marit", JO: "Jo"}


def found(log: Log, now: datetime = NOW) -> list[Concern]:
    plan = log.plan(now)
    return concerns(plan, fold(log.entries).facts, NAMES, now)


def pond() -> Log:
    log = Log()
    log.pond(volume_l=20_000, latitude=52.5, longitude=13.4, name="Long pond")
    return log


def covered() -> tuple[Log, datetime]:
    """A pond whose covers go on at dusk, and when that is over."""
    log = pond()
    log.job(starter("cover"))
    (job,) = [one for one in log.plan().days[0].jobs if one.slot == "on"]
    return log, job.closes_at


def test_a_serious_job_is_a_concern_ten_minutes_after_its_hour_and_no_sooner():
    log, closes_at = covered()
    log.tick("cover", NOW.date(), "off", NOW - 6 * HOUR)
    assert found(log, closes_at + 9 * MINUTE) == []
    (one,) = found(log, closes_at + 10 * MINUTE)
    assert (one.about, one.what, one.at) == (f"job/main/cover/{NOW.date()}/on", "job", closes_at)
    assert one.title == "Not done: Covers on"
    assert one.says.startswith(f"It was due by {closes_at:%H:%M}. ")
    assert not one.act_now


def test_a_job_done_or_said_not_to_be_done_is_none():
    for kind, more in (("tick", {}), ("not_done", {"reason": "storm"})):
        log, closes_at = covered()
        log.tick("cover", NOW.date(), "off", NOW - 6 * HOUR)
        about = {"standing_job": "cover", "due_on": NOW.date().isoformat(), "slot": "on"}
        log.write(kind, closes_at + MINUTE, **about, **more)
        assert found(log, closes_at + HOUR) == []


def test_a_job_that_does_not_matter_is_none_however_late():
    log = pond()
    log.job(starter("cover"), serious=False)
    assert found(log, NOW + 6 * HOUR) == []


def test_what_has_been_late_for_a_day_is_past_hearing_of():
    log, closes_at = covered()
    assert f"job/main/cover/{NOW.date()}/on" not in {one.about for one in found(log, closes_at + DAY + MINUTE)}


def test_something_wrong_says_who_what_and_the_first_steps():
    log = pond()
    look = log.write("look", NOW - MINUTE, all_well=False, trouble="gasping", text="Three <b>at</b> the inlet")
    (one,) = found(log)
    assert (one.about, one.what, one.act_now, one.not_to) == (f"trouble/{look.entry.id}", "trouble", True, PERSON)
    assert one.title == "Fish gasping at the surface"
    assert one.says == f"Marit says so, at {NOW - MINUTE:%H:%M}. Three <b>at</b> the inlet"
    assert one.first[0].startswith("More air at once")


def test_a_look_that_names_parts_says_them_and_one_that_is_well_says_nothing():
    log = pond()
    log.write("look", NOW - MINUTE, all_well=True)
    assert found(log) == []
    log.write("look", NOW - MINUTE, all_well=False, wrong=["flow", "air"])
    (one,) = found(log)
    assert one.title == "Something is wrong" and "Not well: flow, air." in one.says


def test_whoever_cries_by_the_hundred_is_heard_six_times_an_hour_and_others_all_the_same():
    log = pond()
    for n in range(100):
        log.write("look", NOW - 90 * MINUTE + n * MINUTE / 2, all_well=False, trouble="other")
    log.write("look", NOW - MINUTE, all_well=False, trouble="leak", author=JO)
    assert [one.title for one in found(log)] == ["Something is wrong"] * 6 + ["Water is low, or running away"]
    log.write("look", NOW - 20 * MINUTE, all_well=False, trouble="gasping")
    assert "Fish gasping at the surface" in [one.title for one in found(log)]


def test_trouble_is_over_after_a_day_and_when_it_is_taken_back():
    log = pond()
    look = log.write("look", NOW - MINUTE, all_well=False, trouble="leak")
    assert found(log, NOW + DAY) == []
    log.write("take_back", NOW, entry=look.entry.id)
    assert found(log, NOW) == []


def test_water_past_its_time_is_a_concern_until_it_is_shut_and_is_told_to_whoever_opened_it_too():
    log = pond()
    log.write("water_running", NOW - 40 * MINUTE, running=True)
    (one,) = found(log)
    assert (one.what, one.act_now, one.not_to) == ("water_running", True, None)
    assert one.at == NOW - 10 * MINUTE
    log.write("water_running", NOW - MINUTE, running=False)
    assert found(log) == []


def test_water_within_its_time_is_none():
    log = pond()
    log.write("water_running", NOW - 40 * MINUTE, running=True, limit_min=60)
    assert found(log) == []


def test_the_power_out_is_told_to_others_until_it_is_back():
    log = pond()
    log.write("power", NOW - HOUR, on=False)
    (one,) = found(log)
    assert (one.what, one.not_to, one.act_now) == ("power_out", PERSON, True)
    assert one.says == f"Marit says so, since {NOW - HOUR:%H:%M}."
    log.write("power", NOW - MINUTE, on=True)
    assert found(log) == []


def test_a_warning_of_the_warmth_page_is_one_and_only_what_asks_to_act_goes_past_the_first():
    log = pond()
    plan = log.plan()
    for answer, next_too in (("act_now", True), ("drifting", False)):
        finding = WarmthFinding(
            id="near-floor", section="warning", title="Near the floor", says="5.2 °C.", answer=answer
        )
        other = WarmthFinding(id="cost", section="cost", title="So far", says="12 €.")
        page = replace(plan.warmth[0], findings=(finding, other))
        (one,) = concerns(replace(plan, warmth=(page,)), fold(log.entries).facts, NAMES, NOW)
        assert (one.about, one.next_too, one.act_now) == ("warning/main/near-floor", next_too, False)


def test_with_two_ponds_it_says_which():
    log = pond()
    log.pond(pond="small", name="Small <pond>")
    log.write("look", NOW - MINUTE, all_well=False, trouble="leak", pond="small")
    (one,) = found(log)
    assert one.title == "Water is low, or running away (Small <pond>)"


def handed_over(begins_on: str, ends_on: str) -> Log:
    log = pond()
    log.job(starter("cover"))
    helper = {"id": JO, "name": "Jo", "tel": "+49 30 1234"}
    about = {"begins_on": begins_on, "ends_on": ends_on, "helpers": [helper], "jobs": ["main/cover"]}
    for name, value in about.items():
        log.write("set", NOW - DAY, target="hand-over/autumn", field=name, value=value)
    return log


EIGHT = NOW.replace(hour=20, minute=0)


def silences(log: Log, now: datetime) -> list[Concern]:
    return [one for one in found(log, now) if one.what == "silence"]


def test_a_day_of_a_hand_over_without_a_word_is_a_concern_once_its_windows_before_eight_have_closed():
    log = handed_over("2026-11-03", "2026-11-12")
    assert silences(log, NOW.replace(hour=9, minute=0)) == []
    (one,) = silences(log, EIGHT + 30 * MINUTE)
    assert one.about == "silence/autumn/2026-11-03"
    assert "Jo had jobs today, and nothing has come." in one.says
    assert one.first == ("Ring Jo: +49 30 1234",)
    assert not one.act_now


def test_anything_recorded_that_day_breaks_the_silence_and_yesterdays_does_not():
    log = handed_over("2026-11-03", "2026-11-12")
    log.write("note", NOW - DAY, text="yesterday")
    assert len(silences(log, EIGHT + 30 * MINUTE)) == 1
    log.write("note", NOW, text="today")
    assert silences(log, EIGHT + 30 * MINUTE) == []


def test_outside_its_days_and_when_called_off_a_hand_over_is_silent_without_a_word():
    assert silences(handed_over("2026-11-04", "2026-11-12"), EIGHT + 30 * MINUTE) == []
    log = handed_over("2026-11-03", "2026-11-12")
    log.write("set", NOW - DAY, target="hand-over/autumn", field="called_off", value=True)
    assert silences(log, EIGHT + 30 * MINUTE) == []
