"""What stands on the round about messages and alarms: who is told that, and in which words."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from evenwater.domain.messages import Message
from evenwater.domain.rounds.heard.alarms import Alarm, Concern
from evenwater.domain.rounds.heard.notices import (
    NoBackup,
    PutBack,
    alarm_notices,
    no_backup_notices,
    not_sent_notices,
    put_back_notices,
)
from evenwater.domain.rounds.jobs import Notice

NOON = datetime(2026, 11, 24, 12, tzinfo=UTC)
BERLIN = ZoneInfo("Europe/Berlin")
NAMES = {"marit": "Marit", "tove": "Tove"}


def message(number: int = 1, **more: object) -> Message:
    usual = {"id": f"m{number}", "key": f"k{number}", "person": "marit", "channel": "email", "to": "m@pond.example"}
    about = {"subject": "Tuesday's round", "text": "t", "made_at": NOON, "next_try_at": NOON, "tries": 1}
    return Message(**usual | about | {"trouble": "the mail server cannot be reached"} | more)  # type: ignore[arg-type]


def test_one_that_did_not_go_is_named_and_several_are_counted():
    (one,) = not_sent_notices([message()])
    assert one.people == ("marit",)
    assert one.text.startswith(
        "“Tuesday's round” was not sent by e-mail: the mail server cannot be reached. It is tried"
    )
    (two,) = not_sent_notices([message(1), message(2)])
    assert two.text.startswith("2 messages were not sent by e-mail")


def test_each_person_way_and_end_stands_by_itself_and_holds_no_address():
    found = not_sent_notices(
        [message(1), message(2, person="tove"), message(3, channel="push"), message(4, state="given_up")]
    )
    assert [one.id for one in found] == ["not-sent/m1", "not-sent/m2", "not-sent/m3", "not-sent/m4"]
    assert "as a notification" in found[2].text
    assert found[3].text.endswith("It is not tried again.")
    assert not any("@" in one.text for one in found)


def notices(what: str = "job", told: dict[str, datetime] | None = None, **more: object) -> list[Notice]:
    not_to = more.pop("not_to", None)
    concern = Concern(about="a", what=what, pond="main", at=NOON, title="T", says="S.", not_to=not_to)  # type: ignore[arg-type]
    alarm = Alarm(id="a1", concern=concern, raised_at=NOON, **more)  # type: ignore[arg-type]
    return alarm_notices([alarm], {"a1": told or {}}, NAMES, BERLIN)


def test_an_alarm_says_who_was_told_when_by_the_ponds_clock_and_who_is_on_it():
    later = NOON + timedelta(minutes=30)
    (one,) = notices(told={"marit": NOON, "tove": later}, on_it="tove", on_it_at=later)
    assert one.text == "T. Marit was told at 13:00. Tove was told at 13:30. Tove is on it, since 13:30."
    assert (one.what, one.people) == ("alarm", ())


def test_a_notice_may_be_taken_on_until_somebody_did():
    (free,) = notices(told={"marit": NOON})
    (taken,) = notices(told={"marit": NOON}, on_it="tove", on_it_at=NOON)
    assert (free.alarm, taken.alarm) == ("a1", None)


def test_what_nobody_was_told_of_is_the_rounds_own_to_show_except_what_others_saw_or_did_not_do():
    assert notices("job") == notices("water_running") == notices("warning") == []
    assert [one.text for one in notices("silence")] == ["T. S."]


def test_trouble_is_shown_to_the_others_in_the_house_and_to_nobody_where_there_are_none():
    (one,) = notices("trouble", not_to="marit")
    assert (one.what, one.people) == ("helper", ("tove",))
    alarm = Alarm(
        id="a1",
        concern=Concern(about="a", what="trouble", pond="main", at=NOON, title="T", says="S.", not_to="marit"),
        raised_at=NOON,
    )
    assert alarm_notices([alarm], {}, {"marit": "Marit"}, BERLIN) == []


def test_a_backup_that_fails_is_told_with_since_when_and_why():
    (one,) = no_backup_notices(NoBackup(NOON, "/mnt/stick is full"), BERLIN)
    assert (one.what, one.at, one.people) == ("no_backup", NOON, ())
    assert "since Tue 24 Nov, 13:00: /mnt/stick is full" in one.text
    assert no_backup_notices(None, BERLIN) == []


def test_days_that_may_be_missing_after_a_restore_are_named_by_the_ponds_clock():
    (one,) = put_back_notices(PutBack(NOON, NOON + timedelta(days=1)), BERLIN)
    assert (one.what, one.at, one.people) == ("restored", NOON + timedelta(days=1), ())
    assert "the backup of Tue 24 Nov, 13:00" in one.text and "probe keys anew" in one.text
    (moved,) = put_back_notices(PutBack(NOON, NOON, access_ended=False), BERLIN)
    assert "anew" not in moved.text
    assert put_back_notices(None, BERLIN) == []
