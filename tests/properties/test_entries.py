"""What is read is true to its types, whatever was sent; where it stands in time follows a few laws."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from properties.drawn_entries import NOW, anything, between, entries, moments, near_moments, spoilt_entries, zones
from written_log import Log, starter

from evenwater.domain.entries import KINDS, Entry, Set
from evenwater.domain.errors import DomainError
from evenwater.domain.fold import Seen
from evenwater.domain.placing import place
from evenwater.domain.pond import setting_value
from evenwater.domain.read_entries import Deferred, read_entry
from evenwater.domain.rounds.standing_jobs import STARTER

encode = msgspec.json.encode
REFUSALS = (DomainError, msgspec.MsgspecError)
skews = st.floats(-9e9, 9e9) | st.floats(-90_000, 90_000) | st.floats(-90, 90)
HALF_AN_EMOJI = rb'"\ud83d"'


def read(entry: dict[str, object]) -> Entry:
    found = read_entry(encode(entry))
    assert not isinstance(found, Deferred)
    return found


def note_at(happened_at: datetime, zone: str = "UTC") -> Entry:
    one = {"id": "00000000-0000-7000-8000-000000000001", "v": 1, "pond": "main", "kind": "note", "text": "x"}
    who = {"device": one["id"], "author": one["id"], "zone": zone}
    local_date = happened_at.astimezone(ZoneInfo(zone)).date()
    stamp = happened_at.isoformat()
    return read({**one, **who, "happened_at": stamp, "recorded_at": stamp, "local_date": str(local_date)})


@given(entries())
def test_a_good_entry_is_read_and_written_back_the_same(entry):
    once = read(entry)
    assert read_entry(encode(once)) == once
    assert (once.id, once.pond, once.device, str(once.local_date)) == (
        entry["id"],
        entry["pond"],
        entry["device"],
        entry["local_date"],
    )
    assert once.happened_at == datetime.fromisoformat(entry["happened_at"])


@given(spoilt_entries() | anything.map(encode) | st.binary(max_size=200))
def test_whatever_is_sent_is_read_deferred_or_refused(content):
    try:
        found = read_entry(content)
    except REFUSALS:
        return
    assert found.id and found.v >= 1


@pytest.mark.parametrize(
    "text",
    [b'"\xff"', HALF_AN_EMOJI, b"[" * 100_000 + b"]" * 100_000, b"NaN", b"1e999", b'"\x00"'],
    ids=["not utf-8", "half an emoji", "nested deep", "not a number", "too large", "a control character"],
)
def test_what_no_json_holds_is_refused_in_any_field(text):
    good = encode(note_at(NOW))
    for field in (b'"x"', b'"main"', b'"note"', b'"UTC"'):
        with pytest.raises(REFUSALS):
            read_entry(good.replace(field, text))


@given(entries(), st.sampled_from(["id", "pond", "device", "author"]))
def test_a_line_break_after_an_id_is_no_part_of_it(entry, field):
    with pytest.raises(REFUSALS):
        read_entry(encode({**entry, field: entry[field] + "\n"}))


@given(entries(), st.integers(2, 1000), st.dictionaries(st.text(max_size=8), anything, max_size=3))
def test_an_entry_of_a_newer_version_is_deferred_whatever_else_it_holds(entry, v, more):
    head = {"id": entry["id"], "kind": entry["kind"], "v": v}
    assert read_entry(encode({**entry, **more, **head})) == Deferred(entry["id"], entry["kind"], v)


@given(entries(), st.text(min_size=1, max_size=20).filter(lambda kind: kind not in KINDS))
def test_an_entry_of_an_unknown_kind_is_deferred(entry, kind):
    assert read_entry(encode({**entry, "kind": kind})) == Deferred(entry["id"], kind, 1)


@pytest.mark.parametrize("v", [0, -1, 10**7, 10**30])
def test_a_version_no_app_will_have_is_refused(v):
    note = msgspec.to_builtins(note_at(NOW))
    for kind in ("note", "never heard of"):
        with pytest.raises(msgspec.ValidationError):
            read_entry(encode({**note, "kind": kind, "v": v}))


@given(entries(), moments, skews)
def test_no_entry_stands_after_it_arrived(entry, received_at, skew_s):
    placed = place(read(entry), received_at, skew_s)
    assert placed.at <= received_at
    assert placed.at.utcoffset() == timedelta(0)
    assert placed.at.microsecond % 1000 == 0
    assert placed.on == placed.at.astimezone(ZoneInfo(entry["zone"])).date()


@given(entries(near_moments), st.floats(-59.9, 59.9))
def test_a_right_clock_is_believed_and_the_networks_delay_is_no_skew(entry, skew_s):
    placed = place(read(entry), NOW, skew_s)
    assert timedelta(0) <= datetime.fromisoformat(entry["happened_at"]) - placed.at < timedelta(milliseconds=1)
    assert not placed.time_doubtful


@given(near_moments, st.floats(60, 86_400 * 300), st.sampled_from([1, -1]))
def test_a_wrong_clock_is_put_right_and_doubted_when_over_a_day_out(truly, out_s, way):
    fast = timedelta(seconds=way * out_s)
    placed = place(note_at(truly + fast), NOW, -fast.total_seconds())
    assert abs(placed.at - truly) <= timedelta(milliseconds=1)
    assert placed.time_doubtful == (fast.total_seconds() ** 2 > 86_400**2)


@given(between(datetime(1901, 1, 2, tzinfo=UTC), datetime(1999, 12, 31, tzinfo=UTC)), skews)
def test_a_time_before_2000_is_doubted_and_placed_where_it_arrived(happened_at, skew_s):
    placed = place(note_at(happened_at), NOW, skew_s)
    assert (placed.at, placed.time_doubtful) == (NOW, True)


@given(st.timedeltas(timedelta(minutes=10, milliseconds=1), timedelta(days=30_000)))
def test_a_time_over_ten_minutes_ahead_is_doubted_and_placed_where_it_arrived(ahead):
    placed = place(note_at(NOW + ahead), NOW, 0.0)
    assert (placed.at, placed.time_doubtful) == (NOW, True)


@given(st.timedeltas(timedelta(0), timedelta(minutes=10)))
def test_a_time_up_to_ten_minutes_ahead_is_placed_where_it_arrived_and_not_doubted(ahead):
    placed = place(note_at(NOW + ahead), NOW, 0.0)
    assert (placed.at, placed.time_doubtful) == (NOW, False)


def accepted(entry: dict[str, object]) -> bool:
    try:
        found = read_entry(encode(entry))
        return not isinstance(found, Set) or setting_value(found) is not None
    except REFUSALS:
        return False


@st.composite
def answers_to_the_cover_job(draw: st.DrawFn) -> dict[str, object]:
    entry = draw(entries(between(NOW - timedelta(hours=12), NOW), ["tick", "not_done"]))
    due_on = draw(st.sampled_from([date.min, date.max]) | st.dates())
    return {**entry, "pond": "main", "standing_job": "cover", "slot": "on", "due_on": str(due_on)}


@settings(max_examples=30)
@given(st.lists(entries(near_moments | moments) | answers_to_the_cover_job(), max_size=8), zones)
def test_no_log_of_accepted_entries_keeps_a_plan_from_being_made(drawn, zone):
    log = Log()
    log.pond(volume_l=20_000, capful_g=27, zone=zone)
    for job in STARTER:
        log.job(job)
    log.job(starter("cover"), windows={"on": {"part": "bedtime", "opens": "00:10", "closes": "03:00"}})
    for entry in map(read, filter(accepted, drawn)):
        placed = place(entry, NOW, 0.0)
        log.entries.append(Seen(entry, len(log.entries) + 1, placed.at, placed.on))
    plan = log.plan(NOW)
    assert len(plan.days) == 14
    assert encode(plan)
