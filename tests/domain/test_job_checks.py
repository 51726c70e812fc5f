"""What a standing job may be told: what can never come true is refused, and an old one takes nothing away."""

from uuid import UUID

import msgspec
import pytest
from msgspec.structs import replace
from written_log import NOW, Log

from evenwater.domain.errors import DomainError
from evenwater.domain.fold import fold
from evenwater.domain.pond import setting_value
from evenwater.domain.standing_job import EveryDay

READING = {"what": "reading", "quantity": "total_chlorine_ug_per_l", "point": "after_carbon", "side": "above"}


@pytest.mark.parametrize(
    ("field", "value", "where", "right"),
    [
        ("recur", {"every": "rule", "rule": "FREQ=MINUTELY"}, "rule", "DAILY or slower"),
        ("recur", {"every": "rule", "rule": "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30"}, "rule", "falls on some date"),
        ("recur", {"every": "use", "of": "hours", "amount": 500}, "kit", "kit item"),
        ("recur", {"every": "use", "of": "readings", "amount": 5}, "quantity", "kh_dkh"),
        ("recur", {"every": "use", "of": "readings", "amount": 5, "quantity": "zinc"}, "quantity", "kh_dkh"),
        ("season", {"from": "02-30", "to": "06-01"}, "season", "03-01"),
        ("season", {"from": "02-28", "to": "04-31"}, "season", "03-01"),
        ("after", ["feed", "cover"], "after", "other standing jobs"),
        ("only_if", [{**READING, "value": 20, "quantity": "zinc"}], "quantity", "kh_dkh"),
        ("only_if", [{**READING, "value": 20, "point": "outside"}], "point", "after_carbon"),
        ("only_if", [{**READING, "value": -1}], "total_chlorine_ug_per_l", "0 to 10000"),
        ("asks", [{"quantity": "zinc"}], "quantity", "kh_dkh"),
        ("asks", [{"quantity": "level_below_mark_mm", "point": "mains"}], "point", "pond"),
        ("asks", [{"quantity": "kh_dkh"}, {"quantity": "kh_dkh", "point": "pond"}], "asks", "once"),
        ("only_if", [{"what": "happened", "subject": "service/painted", "within_days": 3}], "subject", "drum_rinsed"),
        ("only_if", [{"what": "happened", "subject": "party", "within_days": 3}], "subject", "start_up"),
        ("only_if", [{"what": "happened", "subject": "pump/left", "within_days": 3}], "subject", "job/ID"),
    ],
)
def test_what_can_never_come_true_is_refused_with_what_would_be_right(field, value, where, right):
    entry = Log().write("set", NOW, target="job/cover", field=field, value=value).entry
    with pytest.raises(DomainError) as refused:
        setting_value(entry)
    assert refused.value.where == where
    assert right in refused.value.right


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("recur", {"every": "rule", "rule": "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=29"}),
        ("recur", {"every": "use", "of": "volume_l", "amount": 20_000}),
        ("recur", {"every": "use", "of": "hours", "amount": 500, "kit": "pump"}),
        ("season", {"from": "02-29", "to": "02-29"}),
        ("season", {"from": "11-15", "to": "03-01"}),
        ("after", ["feed"]),
        ("asks", [{"quantity": "kh_dkh"}, {"quantity": "kh_dkh", "point": "mains"}]),
        ("only_if", [{**READING, "value": 20, "for_days": 3}]),
        ("only_if", [{"what": "happened", "subject": "job/cover", "within_days": 3, "negated": True}]),
        ("only_if", [{"what": "happened", "subject": "start_up", "within_days": 1}]),
        (
            "only_if",
            [{"what": "cover", "on": True}, {"what": "worked_out", "of": "water_dawn_c", "side": "below", "value": 8}],
        ),
    ],
)
def test_what_may_come_true_is_kept(field, value):
    entry = Log().write("set", NOW, target="job/cover", field=field, value=value).entry
    assert setting_value(entry) is not None


def test_an_odd_rule_an_older_version_took_is_passed_over_and_the_plan_stands():
    log = Log()
    log.pond()
    kept = log.write("set", NOW, target="job/sweep", field="recur", value={"every": "day"})
    log.write("set", NOW, target="job/sweep", field="text", value="Sweep")
    # A device could send it before these checks were.
    odd = msgspec.Raw(b'{"every": "rule", "rule": "FREQ=SECONDLY"}')
    log.entries.append(replace(kept, seq=99, entry=replace(kept.entry, id=str(UUID(int=99)), value=odd)))
    (job,) = fold(log.entries).standing_jobs("main", NOW.date())
    assert job.recur == EveryDay()
    assert [job.name for job in log.plan().days[0].jobs] == ["Sweep"]
