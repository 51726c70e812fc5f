"""GET /api/hand-overs/{id}/report: one page about the days somebody else did the round."""

from collections.abc import Callable
from datetime import UTC, date, datetime, time, timedelta

from litestar import get
from litestar.di import NamedDependency
from litestar.params import FromPath

from evenwater.domain.away.coming_home import ComingHome, DayLine, DoneLine, Spent, coming_home
from evenwater.domain.away.told_by import MeasuredLine, Said
from evenwater.domain.fold import Known
from evenwater.domain.rounds.when.civil_time import moment
from evenwater.domain.warmth.pond_air import ByHour
from evenwater.storage.database import Database
from evenwater.storage.people import person_names
from evenwater.storage.samples import hourly_of_pond
from evenwater.storage.shown import days_shown
from evenwater.web.errors import Refusal
from evenwater.web.openapi import with_examples
from evenwater.web.plans.planning import Planner

_AT = datetime(2026, 12, 6, 17, 5, tzinfo=UTC)
_EXAMPLE = ComingHome(
    hand_over="from-2026-12-05-1kz9qx",
    name="While we are away",
    begins_on=date(2026, 12, 5),
    ends_on=date(2026, 12, 14),
    until=date(2026, 12, 14),
    stage="over",
    helper_names=("Anna",),
    days=(DayLine(on=date(2026, 12, 6), asked=5, done=4, missed=("Covers on",)),),
    jobs=(DoneLine(pond="main", title="Covers on", asked=10, done=9, by=("Anna",), missed=(date(2026, 12, 6),)),),
    measured=(
        MeasuredLine(
            pond="main", what="Temperature", count=2, first="18.2 °C", last="17.9 °C", low="17.9 °C", high="18.2 °C"
        ),
    ),
    spent=(Spent(pond="main", feed_g=300, buffer_g=760, feed_most_g=300, buffer_most_g=840),),
    notes=(Said(at=_AT, on=date(2026, 12, 6), text="The gate sticks.", by="Anna"),),
)


@get(
    "/api/hand-overs/{hand_over:str}/report",
    summary="What was done while the keepers were away",
    operation_class=with_examples(answered=_EXAMPLE),
)
async def report(
    hand_over: FromPath[str],
    database: NamedDependency[Database],
    planner: NamedDependency[Planner],
    clock: NamedDependency[Callable[[], datetime]],
) -> ComingHome:
    """Up to now while it runs; what the log has forgotten after some months is told no more."""
    now = clock()
    known = await planner.known(now)
    all_of_them = known.hand_overs(known.civil_date(now)[0])
    found = next((one for one in all_of_them if one.id == hand_over), None)
    if found is None:
        raise Refusal(404, "not_found", "no such hand-over is here", where="path", right="the id of a hand-over")
    if found.begins_on is None or found.ends_on is None:
        return coming_home(found, known, [], {}, now)
    shown = await days_shown(database, found.begins_on, found.ends_on)
    probes = await _probes(database, known, found.begins_on, found.ends_on, now)
    helpers = {helper.id: helper.name for one in all_of_them for helper in one.helpers}
    names = {**await person_names(database), **helpers}
    return coming_home(found, known, shown, names, now, probes)


async def _probes(database: Database, known: Known, first: date, last: date, now: datetime) -> dict[str, ByHour]:
    """What probes sent from the first day to the last, by pond."""
    _, zone = known.civil_date(now)
    since, until = moment(first, time(0), zone), moment(last + timedelta(days=1), time(0), zone)
    return {one.id: await hourly_of_pond(database, one.id, since, until) for one in known.ponds(last)}
