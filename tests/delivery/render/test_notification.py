"""A message as a browser shows it."""

from datetime import UTC, datetime

import msgspec
import pytest

from evenwater.delivery.render.notification import is_alarm, notification, tag_of
from evenwater.domain.messages import Message

NOW = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)


def message(text: str = "Covers on", key: str = "list/marit/2026-11-03/push/one", **more: object) -> Message:
    made = {"id": "m", "person": "marit", "channel": "push", "to": "one", "made_at": NOW, "next_try_at": NOW}
    return Message(key=key, text=text, **{"subject": "Tuesday's round"} | made | more)  # type: ignore[arg-type]


def test_blank_lines_and_signs_nobody_sees_are_left_out():
    shown = notification(message("One\n\n\n  two\x00\x1b[31m \r\nthree\u202e"), 1000)
    assert shown.body == "One\ntwo  [31m\nthree"


def test_a_long_text_ends_at_a_word_and_says_that_there_is_more():
    shown = notification(message("Buffer, two capfuls " * 100), 100)
    assert shown.body.endswith("…") and len(shown.body.encode()) <= 100
    assert shown.body.removesuffix("…").split()[-1] in {"Buffer,", "two", "capfuls"}


@pytest.mark.parametrize("length", range(20, 60))
def test_no_letter_is_cut_in_two(length):
    shown = notification(message("½°ä魚🐟" * 40), length)
    assert len(shown.body.encode()) <= length and "\ufffd" not in shown.body


def test_whatever_is_said_fits_into_one_record():
    for text in ('"' * 5000, "\\" * 5000, "🐟" * 5000, "\n".join("ab" for _ in range(3000))):
        long = message(text, subject='"' * 500, link="/round", ways_out={"on_it": "/on-it/" + "a" * 43})
        assert len(msgspec.json.encode(notification(long, 1200))) < 4096 - 103


def test_one_message_has_one_tag_and_another_another():
    assert tag_of(message()) == tag_of(message(id="other", text="else")) != tag_of(message(key="alarm/x"))


def test_alarms_are_told_from_lists():
    assert [is_alarm(message(key=key)) for key in ("list/a/b/push/c", "test/a", "alarm/a/b", "notice/a")] == [
        *(False, False),
        *(True, True),
    ]
