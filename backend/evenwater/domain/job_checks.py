"""What a standing job may be told, beyond the type of the field: looked at before a `set` is kept.

Only what this one setting says can be looked at: a ring of `after` through several jobs the walking order tells.
"""

from collections.abc import Sequence
from datetime import date
from typing import Any, Final, get_args

from evenwater.domain.calendar_rule import check_rule
from evenwater.domain.entries import KINDS, KitService
from evenwater.domain.errors import Contradiction, Missing, NotOneOf, require_between, require_one_of
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.standing_job import Asks, ByRule, ByUse, Condition, Happened, Measured, Season

_LEAP_YEAR: Final = 2028
_SERVICES: Final[tuple[str, ...]] = get_args(KitService)
_HAPPENS: Final = KINDS - {"set", "take_back"}
"""Kinds that are facts: the other two say what holds, and what no longer does."""


def check_job_setting(job: str, field: str, value: Any) -> None:
    """Look at one field of a standing job; those of other types pass.

    Raises:
        DomainError: what it says can never come true, or names something there is not.
    """
    if isinstance(value, ByRule):
        check_rule(value.rule)
    elif isinstance(value, ByUse):
        _check_use(value)
    elif isinstance(value, Season):
        _check_season(value)
    elif field == "after" and job in value:
        raise Contradiction(f"{job!r} comes after itself", where="after", right="other standing jobs")
    elif field == "asks":
        _check_asked(value)
    elif field == "only_if":
        _check_conditions(value)


def _check_asked(asks: Sequence[Asks]) -> None:
    for one in asks:
        require_one_of("quantity", one.quantity, QUANTITIES)
        require_one_of("point", one.point, QUANTITIES[one.quantity].points)
    if len(set(asks)) < len(asks):
        raise Contradiction("the same reading is asked for twice", where="asks", right="each reading once")


def _check_use(recur: ByUse) -> None:
    if recur.of == "hours" and recur.kit is None:
        raise Missing("hours of what is not said", where="kit", right="the id of a kit item")
    if recur.of == "readings":
        require_one_of("quantity", recur.quantity or "", QUANTITIES)


def _check_season(season: Season) -> None:
    for day in (season.begins, season.ends):
        try:
            date(_LEAP_YEAR, int(day[:2]), int(day[3:]))
        except ValueError:
            raise Contradiction(f"{day} is no day of the year", where="season", right="month-day: 03-01") from None


def _check_conditions(conditions: Sequence[Condition]) -> None:
    for condition in conditions:
        if isinstance(condition, Measured):
            require_one_of("quantity", condition.quantity, QUANTITIES)
            known = QUANTITIES[condition.quantity]
            require_one_of("point", condition.point, known.points)
            require_between(condition.quantity, condition.value, known.low, known.high, known.unit)
        elif isinstance(condition, Happened):
            _check_subject(condition.subject)


def _check_subject(subject: str) -> None:
    what, slash, name = subject.partition("/")
    if what == "service" and slash:
        require_one_of("subject", name, _SERVICES)
    elif slash and what != "job":
        raise NotOneOf("subject", subject, ("job/ID", "service/NAME", "the kind of an entry"))
    elif not slash:
        require_one_of("subject", subject, _HAPPENS)
