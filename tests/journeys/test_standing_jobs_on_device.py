"""Standing jobs as a device folds them from its entries, held to the server's own fold of the same."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import msgspec
from msgspec.structs import fields, replace
from playwright.sync_api import Page
from written_log import NOW, Log, starter

from evenwater.domain.fold import Seen, fold
from evenwater.domain.standing_job import StandingJob

FOLD = """async ([seen, today]) => {
  await import("/later.js");
  const { modules } = await import("/main.js");
  const { standingJobs } = modules["/domain/standing-jobs.js"];
  return standingJobs(new Map(seen.map((one) => [one.id, one])), "main", today);
}"""
PLAIN = """async () => {
  await import("/later.js");
  return (await import("/main.js")).modules["/domain/standing-jobs.js"].PLAIN_JOB;
}"""


def a_log_of_many_edits() -> list[Seen]:
    """Jobs set up, altered twice, from a later day on, withdrawn, withdrawn withdrawals, switched off, not sent yet."""
    log = Log()
    for job in ("cover", "buffer", "heater", "agitate"):
        log.job(starter(job))
    other = {"target": "job/agitate", "field": "minutes"}
    log.write("set", NOW, **other, value=7)
    slip = log.write("set", NOW, **other, value=70)
    log.write("take_back", NOW, entry=slip.entry.id)
    order = log.write("set", NOW, target="job/heater", field="order", value=5)
    taken = log.write("take_back", NOW, entry=order.entry.id)
    log.write("take_back", NOW, entry=taken.entry.id)
    tomorrow = (NOW + timedelta(days=1)).date().isoformat()
    log.write("set", NOW, target="job/cover", field="place", value="Indoors", effective_from=tomorrow)
    log.write("set", NOW, target="job/cover", field="serious", value=False, effective_from=NOW.date().isoformat())
    log.write("set", NOW, target="job/buffer", field="active", value=False)
    log.write("set", NOW, pond="other", target="job/agitate", field="minutes", value=99)
    unsent = log.write("set", NOW - timedelta(days=3), target="job/agitate", field="season", value=None)
    last = log.write("set", NOW - timedelta(days=2), target="job/agitate", field="text", value="Shake the carbon")
    return [replace(one, seq=None) if one in (unsent, last) else one for one in log.entries]


def as_the_device_holds(one: Seen) -> dict[str, Any]:
    entry = msgspec.json.decode(msgspec.json.encode(one.entry))
    return {"id": one.entry.id, "entry": entry, "seq": one.seq, "at": one.at.isoformat(), "on": one.on.isoformat()}


def test_a_field_nobody_set_is_the_same_on_the_device(new_phone: Callable[..., Page]) -> None:
    page = new_phone(now=None)
    page.goto("/")
    plain = StandingJob(id="", pond="")
    names = [one.encode_name for one in fields(plain) if one.name not in {"id", "pond"}]
    # Whole: what is not set is left out of a record that travels.
    assert page.evaluate(PLAIN).keys() == set(names)
    assert msgspec.convert(page.evaluate(PLAIN) | {"id": "", "pond": ""}, StandingJob) == plain


def test_the_device_folds_standing_jobs_as_home_does(new_phone: Callable[..., Page]) -> None:
    entries = a_log_of_many_edits()
    page = new_phone(now=None)
    page.goto("/")
    for day in (NOW.date(), NOW.date() + timedelta(days=1)):
        found = page.evaluate(FOLD, [[as_the_device_holds(one) for one in entries], day.isoformat()])
        on = [msgspec.convert(job, StandingJob) for job in found if job["active"]]
        assert on == fold(entries).standing_jobs("main", day)
        assert [job["id"] for job in found if not job["active"]] == ["buffer"]
