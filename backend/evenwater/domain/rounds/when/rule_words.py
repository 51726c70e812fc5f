"""A calendar's rule in a line: "On the first Saturday of every month." """

from typing import Final

from evenwater.domain.calendar_rule import Rule, read_rule
from evenwater.domain.errors import DomainError

_UNITS: Final = {"DAILY": "day", "WEEKLY": "week", "MONTHLY": "month", "YEARLY": "year"}
_DAYS: Final = {"MO": "Mon", "TU": "Tue", "WE": "Wed", "TH": "Thu", "FR": "Fri", "SA": "Sat", "SU": "Sun"}
_MONTHS: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_NTH: Final = {1: "first", 2: "second", 3: "third", 4: "fourth", 5: "fifth", -1: "last", -2: "last but one"}
# What a line can say; the rest of the rules is shown as it was written.
_PLAIN: Final = frozenset({"FREQ", "INTERVAL", "BYDAY", "BYMONTH", "BYMONTHDAY", "COUNT", "UNTIL", "WKST"})


def rule_words(rule: str) -> str:
    """A rule as a sentence; the rule itself where it is too odd for one."""
    try:
        read = read_rule(rule)
    except DomainError:
        return f"By a rule that cannot be read: {rule}."
    if not read.parts.keys() <= _PLAIN:
        return f"By the rule {rule}."
    days = _days(read)
    months = _months(read)
    every = _every(read)
    if days and (months or read.parts["FREQ"] in ("MONTHLY", "YEARLY")):
        return f"On {days} of {months or every}."
    if days:
        return f"On {days}." if every == "every week" else f"On {days}, {every}."
    return f"{every.capitalize()}{f' in {months}' if months else ''}."


def _every(rule: Rule) -> str:
    unit = _UNITS[rule.parts["FREQ"]]
    return f"every {unit}" if rule.interval == 1 else f"every {rule.interval} {unit}s"


def _days(rule: Rule) -> str:
    found: list[str] = []
    for one in rule.parts.get("BYDAY", "").split(","):
        if one:
            nth, day = one[:-2], _DAYS[one[-2:]]
            found.append(f"the {_nth(int(nth))} {day}" if nth else day)
    for day in rule.by.get("bymonthday", ()):
        found.append(f"the {day}{_ending(day)}" if day > 0 else _from_the_end(day))
    return _listed(found)


def _from_the_end(day: int) -> str:
    return f"the {_NTH[day]} day" if day in _NTH else f"the {-day}{_ending(-day)} day from the end"


def _months(rule: Rule) -> str:
    return _listed([_MONTHS[month - 1] for month in rule.by.get("bymonth", ())])


def _nth(nth: int) -> str:
    return _NTH.get(nth) or (f"{nth}{_ending(nth)}" if nth > 0 else f"{-nth}{_ending(-nth)} from the end")


def _ending(number: int) -> str:
    if number % 100 in (11, 12, 13):
        return "th"
    return {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else ""
