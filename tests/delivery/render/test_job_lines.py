"""A job's lines on paper: late by what it does, how much, whose, and what holds it back."""

from datetime import UTC, date, datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from evenwater.delivery.render.job_lines import amount_words, job_section, when_words, whose_words
from evenwater.domain.rounds.jobs import Job, PondInPlan
from evenwater.domain.rounds.today import JobNow

ZONE = ZoneInfo("Europe/Berlin")
POND = PondInPlan("main", "Long pond", "Europe/Berlin", 16_000, 27.0, "sodium_bicarbonate")
MARIT = "11111111-1111-4111-8111-111111111111"


def at(day: int, hour: int = 12) -> datetime:
    return datetime(2026, 11, day, hour, tzinfo=UTC)


def job(**more: Any) -> Job:
    told: dict[str, Any] = {
        "id": "drum/2026-11-24/day",
        "standing_job": "drum",
        "due_on": date(2026, 11, 24),
        "slot": "day",
        "pond": "main",
        "place": "Filter house",
        "part": "midday",
        "name": "Rinse the drum",
        "text": "Rinse the drum",
        "opens_at": at(24, 8),
        "closes_at": at(24, 19),
    }
    return Job(**{**told, **more})


def now(state: Any, **more: Any) -> JobNow:
    told: dict[str, Any] = {
        "pond": "main",
        "id": "drum/2026-11-24/day",
        "amount_g": None,
        "given_g": None,
        "answers": (),
    }
    return JobNow(**{**told, "state": state, "reason": "Every fortnight.", **more})


@pytest.mark.parametrize(
    ("amount_g", "capful_g", "words"),
    [
        (67.5, 27.0, "2½ capfuls · 68 g"),
        (6.75, 27.0, "¼ capful · 7 g"),
        (27.0, 27.0, "1 capful · 27 g"),
        (108.0, 27.0, "4 capfuls · 108 g"),
        (114.75, 27.0, "115 g · 4¼ capfuls"),
        (50.0, None, "50 g"),
    ],
)
def test_amounts_read_as_one_would_say_them(amount_g, capful_g, words):
    assert amount_words(amount_g, capful_g) == words


@pytest.mark.parametrize(
    ("more", "state", "when", "words"),
    [
        ({}, "due", at(24), "by 20:00"),
        ({}, "late", at(24, 20), "late since 20:00"),
        ({}, "late", at(26), "late since Tue 24 Nov 20:00"),
        ({"waits_until": at(28, 19)}, "late", at(26), "can wait until Sat 28"),
        ({"waits_until": at(25), "serious_at": at(25)}, "late", at(26), "late since Tue 24 Nov 20:00, and it matters"),
        ({}, "not_known", at(24), "not known"),
        ({}, "lapsed", at(26), "missed"),
    ],
)
def test_late_says_what_it_does(more, state, when, words):
    assert when_words(job(**more), now(state), ZONE, when) == words


def test_food_and_fixed_amounts_stand_in_their_own_words():
    fed = job_section(job(shape="feed", feed_g=60.0, amount="wheatgerm"), now("due"), ZONE, at(24), POND, "")
    assert "<p class=amount>60 g · wheatgerm</p>" in fed
    assert "<p class=amount>1 bucket</p>" in job_section(job(amount="1 bucket"), now("due"), ZONE, at(24), POND, "")


def test_what_is_held_back_gives_its_source_and_no_amount():
    held = now("held_back", reason="Fell 2 °C in a day.")
    told = job(state="held_back", amount="1 bucket", source="our own rule of thumb")
    page = job_section(told, held, ZONE, at(24), POND, "")
    assert "held back" in page
    assert "Fell 2 °C in a day." in page
    assert "Source: our own rule of thumb" in page
    assert "bucket" not in page


def test_what_the_power_cut_holds_back_rests_on_no_rule_of_the_plan():
    held = now("held_back", reason="The power is out.")
    page = job_section(job(source="the rise of KH"), held, ZONE, at(24), POND, "")
    assert "Source: common practice, no source" in page


def test_a_job_of_somebody_says_whose_it_is():
    assert whose_words(job(who=(MARIT,)), {MARIT: "Marit"}) == "for Marit"
    assert whose_words(job(who=(MARIT,)), {}) == ""
