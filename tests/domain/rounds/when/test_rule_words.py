"""A calendar's rule in a line, and as it was written where a line is too short for it."""

import pytest

from evenwater.domain.rounds.when.rule_words import rule_words


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        ("FREQ=DAILY", "Every day."),
        ("FREQ=DAILY;INTERVAL=3", "Every 3 days."),
        ("FREQ=WEEKLY;BYDAY=SA", "On Sat."),
        ("FREQ=WEEKLY;BYDAY=MO,WE,FR", "On Mon, Wed and Fri."),
        ("FREQ=WEEKLY;INTERVAL=2;BYDAY=TU", "On Tue, every 2 weeks."),
        ("FREQ=MONTHLY;BYDAY=1SA", "On the first Sat of every month."),
        ("FREQ=MONTHLY;BYDAY=-1SU", "On the last Sun of every month."),
        ("FREQ=MONTHLY;INTERVAL=3;BYMONTHDAY=1,22", "On the 1st and the 22nd of every 3 months."),
        ("FREQ=MONTHLY;BYMONTHDAY=-1", "On the last day of every month."),
        ("FREQ=MONTHLY;BYMONTHDAY=-3", "On the 3rd day from the end of every month."),
        ("FREQ=YEARLY;BYMONTH=3,9;BYMONTHDAY=11", "On the 11th of Mar and Sep."),
        ("FREQ=YEARLY", "Every year."),
        ("FREQ=DAILY;BYMONTH=1", "Every day in Jan."),
        ("FREQ=YEARLY;BYWEEKNO=20;BYDAY=MO", "By the rule FREQ=YEARLY;BYWEEKNO=20;BYDAY=MO."),
        ("FREQ=SECONDLY", "By a rule that cannot be read: FREQ=SECONDLY."),
    ],
)
def test_a_rule_is_said_in_a_line(rule, words):
    assert rule_words(rule) == words
