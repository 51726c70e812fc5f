"""Entries as Hypothesis draws them: good ones of every kind, good ones spoilt in one place, and any JSON at all."""

from datetime import UTC, date, datetime, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo, available_timezones

import msgspec
from hypothesis import strategies as st

from evenwater.domain.entries import KINDS
from evenwater.domain.quantities import QUANTITIES

ZONES = sorted(available_timezones())
NOW = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)


def between(first: datetime, last: datetime) -> st.SearchStrategy[datetime]:
    return st.timedeltas(timedelta(0), last - first).map(lambda span: first + span)


ids = st.integers(1, 40).map(lambda n: str(UUID(int=n << 72 | 7 << 76)))
devices = st.sampled_from([str(UUID(int=n)) for n in (1, 2)])
slugs = st.from_regex(r"[a-z0-9][a-z0-9-]{0,8}", fullmatch=True)
zones = st.sampled_from(ZONES)
words = st.text(min_size=1, max_size=40)
grams = st.floats(0, 100_000)
moments = between(datetime(1901, 1, 2, tzinfo=UTC), datetime(8999, 12, 30, tzinfo=UTC))
near_moments = between(NOW - timedelta(days=80), NOW)

anything: st.SearchStrategy[Any] = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=8,
)


@st.composite
def _reading(draw: st.DrawFn) -> dict[str, Any]:
    quantity = draw(st.sampled_from(sorted(QUANTITIES)))
    value = draw(st.floats(QUANTITIES[quantity].low, QUANTITIES[quantity].high))
    point = draw(st.sampled_from(QUANTITIES[quantity].points))
    return {"quantity": quantity, "value": value, "point": point, "step": draw(st.none() | st.floats(0.01, 5))}


_job = {"standing_job": slugs, "slot": slugs, "due_on": st.dates(date(1901, 1, 1), date(8999, 12, 31)).map(str)}
_FIELDS: dict[str, st.SearchStrategy[dict[str, Any]]] = {
    "reading": _reading(),
    "tick": st.fixed_dictionaries(
        {**_job, "amount_g": st.none() | grams, "substance": st.just("sodium_bicarbonate")},
        optional={
            "setting_c": st.none() | st.floats(0, 40),
            "override_reason": words,
            "appetite": st.sampled_from(["all", "some_left", "most_left"]),
        },
    ),
    "dose": st.fixed_dictionaries({"substance": st.just("potassium_bicarbonate"), "amount_g": grams}),
    "not_done": st.fixed_dictionaries({**_job, "reason": words}),
    "look": st.fixed_dictionaries({"all_well": st.just(False), "wrong": st.lists(st.sampled_from(["flow", "fish"]))}),
    "note": st.fixed_dictionaries({"text": words}),
    "set": st.one_of(
        st.fixed_dictionaries({"target": st.just("pond"), "field": st.just(field), "value": values})
        for field, values in {"volume_l": st.floats(100, 1e6), "kh_target_dkh": st.floats(3, 10), "zone": zones}.items()
    ),
    "water_change": st.fixed_dictionaries({"volume_l": st.floats(1, 1e6), "point": st.just("after_carbon")}),
    "feed": st.fixed_dictionaries({"feed_g": grams, "protein_fraction": st.none() | st.floats(0, 0.7)}),
    "salt": st.fixed_dictionaries({"salt_g": grams}),
    "service": st.fixed_dictionaries({"service": st.sampled_from(["carbon_agitated", "membrane_flushed"])}),
    "start_up": st.fixed_dictionaries(
        {
            "steps": st.lists(st.tuples(st.floats(0, 60), st.floats(0, 500)), min_size=1, max_size=4),
            "flow_l_per_min": st.none() | st.floats(0.1, 10),
        }
    ),
    "cover": st.fixed_dictionaries({"covered_fraction": st.floats(0, 1)}),
    "air_forecast": st.fixed_dictionaries(
        {"on": _job["due_on"], "low_c": st.floats(-40, 0), "high_c": st.none() | st.floats(0, 50)}
    ),
    "meter": st.fixed_dictionaries(
        {"kit": slugs, "hours": st.floats(0, 1e6), "volume_l": st.none() | st.floats(0, 1e9)}
    ),
    "change": st.fixed_dictionaries({"text": words, "kit": st.none() | slugs, "jobs": st.lists(slugs, max_size=3)}),
    "water_running": st.fixed_dictionaries({"running": st.booleans(), "dechlorinated": st.none() | st.booleans()}),
    "power": st.fixed_dictionaries({"on": st.booleans()}),
    "fish_measure": st.fixed_dictionaries(
        {"fish": slugs, "length_cm": st.floats(1, 130), "length_is": st.sampled_from(["standard", "total"])},
        optional={
            "weight_g": st.floats(0.1, 60_000),
            "checked": st.lists(st.sampled_from(["body", "fins", "eyes", "gills", "mouth"]), max_size=5),
            "found": st.lists(st.fixed_dictionaries({"where": st.just("fins"), "text": words}), max_size=3),
            "bowl_s": st.floats(0, 600),
        },
    ),
    "fish_seen": st.fixed_dictionaries(
        {
            "fish": st.lists(slugs, max_size=3),
            "signs": st.lists(st.sampled_from(["flashing", "spots"]), min_size=1, max_size=5),
        }
    ),
    "take_back": st.fixed_dictionaries({"entry": ids.map(lambda one: one[:-1] + "f")}),
}
_FIELDS["fish_move"] = st.fixed_dictionaries({"count": st.integers(1, 99), "mass_g": st.none() | st.floats(1, 1e6)})
assert set(_FIELDS) == KINDS


@st.composite
def entries(draw: st.DrawFn, happened: st.SearchStrategy[datetime] = moments, kinds: Any = None) -> dict[str, Any]:
    """A good entry, as the JSON object a device sends."""
    kind = draw(st.sampled_from(kinds or sorted(_FIELDS)))
    zone, at = draw(zones), draw(happened)
    local = at.astimezone(ZoneInfo(zone))
    pond = draw(slugs)
    return {
        "id": draw(ids),
        "v": 1,
        "pond": pond,
        "kind": kind,
        "happened_at": at.astimezone(
            local.tzinfo if draw(st.booleans()) and _whole_minutes(local) else UTC
        ).isoformat(),
        "local_date": local.date().isoformat(),
        "zone": zone,
        "recorded_at": at.isoformat(),
        "device": draw(devices),
        "author": draw(devices),
        **draw(_FIELDS[kind]),
        **({"to_pond": pond} if kind == "fish_move" else {}),
    }


def _whole_minutes(local: datetime) -> bool:
    """Before standard time offsets had seconds, which RFC 3339 cannot write."""
    return not (local.utcoffset() or timedelta(0)).total_seconds() % 60


@st.composite
def spoilt_entries(draw: st.DrawFn) -> bytes:
    """A good entry with one key changed, dropped or added, or a few of its bytes replaced."""
    entry = draw(entries())
    key = draw(st.sampled_from(sorted(entry)) | st.text(max_size=8))
    if draw(st.booleans()):
        entry[key] = draw(anything)
    else:
        entry.pop(key, None)
    content = msgspec.json.encode(entry)
    start = draw(st.integers(0, len(content)))
    return content[:start] + draw(st.binary(max_size=4)) + content[start + draw(st.integers(0, 3)) :]
