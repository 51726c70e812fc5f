"""Work done, missed and said not to be done."""

from datetime import UTC, date, datetime, time, timedelta

from written_log import PERSON

from evenwater.domain.report.work import work_part
from evenwater.domain.rounds.jobs import Day, Job

from .season_log import SUMMER, row_of, settled


def shown(on: date, *jobs: str, pond: str = "main", state: str = "open") -> Day:
    closes = datetime.combine(on, time(18), UTC)
    made = tuple(
        Job(
            id=f"{job}/{on}/day", standing_job=job, due_on=on, slot="day", pond=pond, place="", part="dusk",
            name=f"{job} as shown", text="", opens_at=closes - timedelta(hours=2), closes_at=closes, state=state,
        )
        for job in jobs
    )  # fmt: skip
    return Day(on, "", None, None, made)


def log_with(*done: date):
    log = settled()
    log.write("set", log.at(date(2025, 1, 1)), target="job/leaf-net", field="text", value="Clear the leaf net")
    for on in done:
        log.tick("leaf-net", on, "day", log.at(on))
    return log


def test_done_is_what_was_ticked_in_each_span():
    part = work_part(log_with(date(2026, 5, 1), date(2026, 5, 2), date(2025, 5, 1)).past(), people=False, notes=False)
    assert part.says == ("2 jobs done. A year before: 1 job done.",)
    assert part.columns == ("", "done 2026", "done 2025")
    assert row_of(part.rows, "Clear the leaf net") == ("2", "1")


def test_missed_is_what_a_round_showed_and_nobody_answered():
    rounds = [shown(date(2026, 5, day), "leaf-net") for day in (1, 2, 3)]
    log = log_with(date(2026, 5, 1))
    log.write(
        "not_done", log.at(date(2026, 5, 2)), standing_job="leaf-net", due_on="2026-05-02", slot="day", reason="Storm."
    )
    part = work_part(log.past(shown=rounds), people=False, notes=False)
    assert part.says[0].startswith("1 job done, 1 missed, 1 said not to be done.")
    assert row_of(part.rows, "Clear")[:2] == ("1", "1")
    assert part.unknown == ("What was missed on 180 days is not known: nobody looked at the round then.",)


def test_what_was_not_wanted_or_is_another_ponds_was_not_missed():
    rounds = [
        shown(date(2026, 5, 1), "leaf-net", state="stood_down"),
        shown(date(2026, 5, 2), "leaf-net", pond="other"),
    ]
    part = work_part(log_with(date(2026, 6, 1)).past(shown=rounds), people=False, notes=False)
    assert row_of(part.rows, "Clear")[1] == "0"


def test_an_answer_on_a_later_day_is_an_answer():
    on = SUMMER.last
    log = log_with()
    log.tick("leaf-net", on, "day", log.at(on + timedelta(days=2)))
    assert work_part(log.past(shown=[shown(on, "leaf-net")]), people=False, notes=False).rows == ()


def test_a_job_shown_on_several_days_is_missed_once():
    first = shown(date(2026, 5, 1), "leaf-net")
    again = Day(date(2026, 5, 2), "", None, None, first.jobs)
    part = work_part(log_with().past(shown=[first, again]), people=False, notes=False)
    assert row_of(part.rows, "Clear")[1] == "1"


def test_names_and_reasons_are_told_only_where_they_were_chosen():
    log = log_with(date(2026, 5, 1))
    log.write(
        "not_done", log.at(date(2026, 5, 2)), standing_job="leaf-net", due_on="2026-05-02", slot="day", reason="Jo ill."
    )
    past = log.past(names={PERSON: "Marit"})
    plain = work_part(past, people=False, notes=False)
    assert "Marit" not in str(plain) and "Jo" not in str(plain)
    assert "Done by Marit (1)." in work_part(past, people=True, notes=False).says
    assert "2 May, Clear the leaf net: Jo ill." in work_part(past, people=False, notes=True).says


def test_without_any_tick_it_says_so():
    assert work_part(settled().past(), people=True, notes=True).unknown == ("No work was ticked in this time.",)
