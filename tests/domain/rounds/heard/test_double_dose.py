"""Buffer given twice: recognised whichever entry comes first, told to both, counted by the next dose."""

from datetime import date, timedelta
from itertools import permutations
from uuid import UUID

import msgspec
import pytest
from msgspec.structs import replace
from written_log import NOW, PERSON, Log, jobs_of, starter

from evenwater.domain.fold import Seen, fold
from evenwater.domain.rounds.heard.double_dose import TOLD_FOR, double_doses
from evenwater.domain.rounds.jobs import Notice
from evenwater.domain.rounds.today import job_now

OTHER, TABLET, HELPER = (str(UUID(int=n << 64)) for n in (7, 8, 9))
NAMES = {PERSON: "Wenna", OTHER: "Ivo", HELPER: "Jo"}
TODAY = NOW.date()
VOLUME_L = 20_000


def pond(**settings: object) -> Log:
    log = Log()
    log.pond(volume_l=VOLUME_L, capful_g=25, kh_target_dkh=5, kh_rise_limit_dkh=1, name="The long pond", **settings)
    log.job(starter("buffer"))
    for days in range(12, 0, -1):
        log.kh(4.5, NOW - timedelta(days=days))
    return log


def by(log: Log, seen: Seen, author: str = OTHER, device: str = TABLET) -> Seen:
    """The entry just written, as of somebody else on another device."""
    log.entries[-1] = replace(seen, entry=msgspec.structs.replace(seen.entry, author=author, device=device))
    return log.entries[-1]


def dose(log: Log, hours: float, grams: float, due_on: date = TODAY) -> Seen:
    """A tick of the buffer job so long before now."""
    at = NOW - timedelta(hours=hours)
    return log.tick("buffer", due_on, "dusk", at, amount_g=grams, substance="sodium_bicarbonate")


def notices(log: Log, now=NOW, names=NAMES) -> list[Notice]:
    return double_doses(fold(log.entries), now, names)


def test_two_people_who_both_gave_it_are_told_who_when_and_how_much():
    log = pond()
    first = dose(log, 2, 100)
    second = by(log, dose(log, 1, 75))
    (one,) = notices(log)
    assert one.text.startswith(
        "Buffer was given twice on Tuesday 3 November: Wenna 100 g at 14:30, Ivo 75 g at 15:30. Together 175 g,"
    )
    assert set(one.people) == {PERSON, OTHER}
    assert (one.what, one.pond, one.at) == ("double_dose", "main", second.at)
    assert one.answers == (first.entry.id, second.entry.id)


def test_whichever_entry_comes_first_and_however_often_the_notice_is_one():
    log = pond()
    dose(log, 2, 100)
    by(log, dose(log, 1, 75))
    settled, given = log.entries[:-2], log.entries[-2:]
    found = {tuple(double_doses(fold([*settled, *order, *given]), NOW, NAMES)) for order in permutations(given)}
    assert len(found) == 1


def test_a_dose_no_job_asked_for_and_a_tick_of_the_same_day_are_one_meant_twice():
    log = pond()
    dose(log, 2, 100)
    by(log, log.write("dose", NOW - timedelta(hours=6), substance="sodium_bicarbonate", amount_g=50))
    (one,) = notices(log)
    assert "Ivo 50 g at 10:30, Wenna 100 g at 14:30" in one.text


@pytest.mark.parametrize("what", ["same device", "another job", "another day", "no amount", "taken back"])
def test_what_was_not_meant_as_one_is_no_double_dose(what):
    log = pond()
    dose(log, 2, 100)
    if what == "same device":
        dose(log, 1, 75)
    elif what == "another job":
        at = NOW - timedelta(hours=1)
        by(log, log.tick("buffer-morning", TODAY, "dusk", at, amount_g=75, substance="sodium_bicarbonate"))
    elif what == "another day":
        by(log, dose(log, 24, 75, TODAY - timedelta(days=1)))
    elif what == "no amount":
        by(log, log.tick("buffer", TODAY, "dusk", NOW - timedelta(hours=1)))
    else:
        second = by(log, dose(log, 1, 75))
        assert len(notices(log)) == 1
        by(log, log.write("take_back", NOW, entry=second.entry.id))
    assert notices(log) == []


def test_the_same_person_on_two_devices_is_told_once():
    log = pond()
    dose(log, 2, 100)
    by(log, dose(log, 1, 75), author=PERSON)
    (one,) = notices(log)
    assert one.people == (PERSON,)


def test_a_third_dose_is_told_anew():
    log = pond()
    dose(log, 3, 100)
    by(log, dose(log, 2, 75))
    before = notices(log)
    by(log, dose(log, 1, 50), author=HELPER, device=str(UUID(int=99 << 64)))
    (one,) = notices(log)
    assert one.id != before[0].id and "3 times" in one.text and len(one.answers) == 3


def test_a_tick_past_midnight_answers_the_same_evening():
    log = pond()
    yesterday = TODAY - timedelta(days=1)
    dose(log, 17, 100, yesterday)
    by(log, dose(log, 16, 75, yesterday))
    assert log.entries[-2].on != log.entries[-1].on
    assert len(notices(log)) == 1


def test_what_becomes_known_days_later_is_still_told_and_weeks_later_no_more():
    log = pond()
    dose(log, 2, 100)
    by(log, dose(log, 1, 75))
    assert len(notices(log, NOW + timedelta(days=5))) == 1
    assert notices(log, NOW + TOLD_FOR) == []
    assert notices(log, NOW - timedelta(hours=1, minutes=1)) == []  # the second is still to come


def hand_over(log: Log) -> None:
    at = NOW - timedelta(days=30)
    log.write("set", at, target="hand-over/autumn", field="helpers", value=[{"id": HELPER, "name": "Jo"}])
    for field, days in (("begins_on", -1), ("ends_on", 8)):
        value = (TODAY + timedelta(days=days)).isoformat()
        log.write("set", at, target="hand-over/autumn", field=field, value=value)


def test_a_helper_who_was_one_of_the_two_is_told_and_so_is_every_keeper():
    log = pond()
    hand_over(log)
    dose(log, 2, 100)
    by(log, dose(log, 1, 75), author=HELPER)
    (one,) = notices(log)
    assert set(one.people) == {PERSON, OTHER, HELPER} and "Jo 75 g" in one.text


def test_with_a_helper_those_on_duty_are_told_besides_both():
    log = pond(on_duty=[OTHER])
    hand_over(log)
    dose(log, 2, 100)
    by(log, dose(log, 1, 75), author=HELPER)
    assert set(notices(log)[0].people) == {PERSON, HELPER, OTHER}
    log = pond(on_duty=[PERSON])
    hand_over(log)
    dose(log, 2, 100)
    by(log, dose(log, 1, 75), author=HELPER)
    assert set(notices(log)[0].people) == {PERSON, HELPER}


def test_the_plan_carries_the_notice():
    log = pond()
    dose(log, 2, 100)
    by(log, dose(log, 1, 75))
    assert [one.what for one in log.plan().notices] == ["double_dose"]


TOMORROW = NOW + timedelta(days=1)


def next_dose(log: Log, now=TOMORROW):
    """The next evening's dose job, as planned then and as it stands at `now`."""
    plan = log.plan(now)
    (job,) = [one for one in jobs_of(plan, 0, "buffer") if one.due_on == now.date()]
    return job, job_now(job, fold(log.entries).facts, plan.log_seq, now, True)


def test_the_next_dose_counts_both_and_says_so():
    once, twice = pond(), pond()
    for log in (once, twice):
        dose(log, 3, 100)
    by(twice, dose(twice, 2, 75))
    (job, stands), (alone, alone_stands) = next_dose(twice), next_dose(once)
    assert job.unrounded_g is not None and alone.unrounded_g is not None
    assert job.unrounded_g < alone.unrounded_g
    assert stands.amount_g is not None and alone_stands.amount_g is not None
    assert stands.amount_g < alone_stands.amount_g
    assert job.reason.endswith("What was given twice is counted.") and "twice" not in alone.reason


def test_the_next_one_is_held_back_when_both_together_rose_too_much():
    log = pond()
    dose(log, 3, 400)
    by(log, dose(log, 2, 350))
    (one,) = notices(log)
    assert "more than the 1.0 °dKH a day allows: the next is held back" in one.text
    soon = TOMORROW - timedelta(hours=3, minutes=30)  # both within the last 24 hours
    _, stands = next_dose(log, soon)
    assert stands.state == "held_back" and stands.given_g == 750
    assert "The most for 24 hours is given (1.0 °dKH)" in stands.reason
    assert stands.amount_g == 0


def test_a_device_without_signal_counts_the_second_dose_when_it_hears_of_it():
    log = pond()
    dose(log, 3, 400)
    plan = log.plan()
    (job,) = [one for one in jobs_of(plan, 1, "buffer") if one.due_on == TOMORROW.date()]
    by(log, dose(log, 2, 350))
    soon = TOMORROW - timedelta(hours=3, minutes=30)
    stands = job_now(job, fold(log.entries).facts, plan.log_seq, soon, True)
    assert stands.state == "held_back" and "24 hours" in stands.reason


def test_a_pond_of_unknown_volume_is_told_of_in_grams():
    log = Log()
    log.pond(name="Tub")
    log.job(starter("buffer"))
    dose(log, 2, 100)
    by(log, dose(log, 1, 75))
    assert notices(log)[0].text.endswith("Together 175 g. The next dose counts all of it.")


def test_somebody_whose_name_is_not_known_stays_somebody():
    log = pond()
    dose(log, 2, 100)
    by(log, dose(log, 1, 75))
    assert "somebody 75 g" in notices(log, names={PERSON: "Wenna"})[0].text
