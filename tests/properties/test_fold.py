"""The fold: one state from any order of delivery and any repetition; two phones in any interleaving end equal."""

from datetime import UTC, datetime, timedelta
from itertools import chain
from uuid import UUID

import msgspec
from hypothesis import given
from hypothesis import strategies as st

from evenwater.domain.fold import Fold, Seen, fold, withdrawn_ids
from evenwater.domain.read_entries import read_entry
from evenwater.domain.rounds.plan import make_plan

START = datetime(2026, 11, 3, 16, 30, tzinfo=UTC)
PHONES = 2


def seen(number: int, kind: str, minutes: int = 0, seq: int | None = None, phone: int = 0, **fields: object) -> Seen:
    at = START + timedelta(minutes=minutes)
    stamp = {"happened_at": at.isoformat(), "recorded_at": at.isoformat(), "local_date": str(at.date())}
    who = {"pond": "main", "zone": "UTC", "device": str(UUID(int=phone + 1)), "author": str(UUID(int=9))}
    entry = {"id": str(UUID(int=number)), "v": 1, "kind": kind, **stamp, **who, **fields}
    return Seen(read_entry(msgspec.json.encode(entry)), seq, at, at.date())


@st.composite
def logs(draw: st.DrawFn) -> list[Seen]:
    """A log of up to twenty entries in the order of their seq; take backs may name any of them, themselves aside."""
    size = draw(st.integers(1, 20))
    log = []
    for number in range(1, size + 1):
        minutes = draw(st.integers(-5, 5))
        kind = draw(st.sampled_from(["reading", "tick", "set", "take_back"]))
        fields: dict[str, object] = {
            "reading": {"quantity": "kh_dkh", "value": float(number)},
            "tick": {"standing_job": "cover", "due_on": "2026-11-03", "slot": "on"},
            "set": {"target": "pond", "field": "kh_target_dkh", "value": draw(st.integers(3, 10))},
        }.get(kind, {})
        if kind == "take_back":
            others = [one for one in range(1, size + 2) if one != number]
            fields = {"entry": str(UUID(int=draw(st.sampled_from(others))))}
        log.append(seen(number, kind, minutes, number, draw(st.integers(0, PHONES - 1)), **fields))
    return log


@given(logs(), st.data())
def test_any_order_of_delivery_and_any_repetition_give_one_state(log, data):
    delivered = data.draw(st.permutations(log + data.draw(st.lists(st.sampled_from(log), max_size=10))))
    assert fold(delivered) == fold(log)


@given(logs(), st.data())
def test_two_phones_in_any_interleaving_end_equal(log, data):
    # Each phone has its own entries first, unconfirmed, and gets the rest as it comes; at the end both have all.
    ends = []
    for phone in range(PHONES):
        own = [msgspec.structs.replace(one, seq=None) for one in log if _phone(one) == phone]
        rest = data.draw(st.permutations(log))
        ends.append(fold(chain(own, rest)))
    assert ends[0] == ends[1] == fold(log)


@given(logs(), st.data())
def test_a_log_folded_as_it_comes_is_the_log_folded_at_once(log, data):
    delivered = data.draw(st.permutations(log + data.draw(st.lists(st.sampled_from(log), max_size=5))))
    kept, told = Fold(), []
    while delivered:
        some = data.draw(st.integers(1, len(delivered)))
        kept.add(delivered[:some])
        told += delivered[:some]
        assert kept.known() == fold(told)
        delivered = delivered[some:]


def _phone(one: Seen) -> int:
    return UUID(one.entry.device).int - 1


@given(logs(), st.data())
def test_a_plan_depends_on_what_is_known_and_not_on_how_it_came(log, data):
    delivered = data.draw(st.permutations(log))
    assert make_plan(fold(delivered), 20, {}, START) == make_plan(fold(log), 20, {}, START)


@given(st.integers(0, 30))
def test_a_chain_of_take_backs_counts_by_its_length(length):
    log = [seen(1, "reading", quantity="kh_dkh", value=5)]
    log += [seen(n + 1, "take_back", entry=str(UUID(int=n))) for n in range(1, length + 1)]
    gone = withdrawn_ids(log)
    assert (str(UUID(int=1)) in gone) == (length % 2 == 1)
    assert len(fold(log).facts) == 1 - length % 2


@given(st.integers(2, 8), st.permutations(range(8)))
def test_take_backs_in_a_ring_withdraw_nothing(size, order):
    ring = [seen(n + 1, "take_back", entry=str(UUID(int=(n + 1) % size + 1))) for n in range(size)]
    reading = seen(99, "reading", quantity="kh_dkh", value=5)
    assert withdrawn_ids([ring[n % size] for n in order] + [reading]) == frozenset()


def test_a_take_back_of_a_ring_s_member_changes_nothing_and_one_outside_still_counts():
    log = [
        seen(1, "take_back", entry=str(UUID(int=2))),
        seen(2, "take_back", entry=str(UUID(int=1))),
        seen(3, "take_back", entry=str(UUID(int=1))),
        seen(4, "reading", quantity="kh_dkh", value=5),
        seen(5, "take_back", entry=str(UUID(int=4))),
    ]
    gone = withdrawn_ids(log)
    assert str(UUID(int=4)) in gone
    assert str(UUID(int=2)) not in gone


@given(st.permutations(range(4)))
def test_the_last_setting_by_server_order_wins_and_an_unsent_one_is_last(order):
    settings = [
        seen(4, "set", 9, 1, target="pond", field="kh_target_dkh", value=4),
        seen(3, "set", 5, 2, target="pond", field="kh_target_dkh", value=5),
        seen(2, "set", 1, 3, target="pond", field="kh_target_dkh", value=6),
        seen(1, "set", 0, None, target="pond", field="kh_target_dkh", value=7),
    ]
    (pond,) = fold([settings[n] for n in order]).ponds(START.date())
    assert pond.kh_target_dkh == 7
    (pond,) = fold([settings[n] for n in order if n != 3]).ponds(START.date())
    assert pond.kh_target_dkh == 6


def test_a_setting_counts_from_its_date_and_never_before():
    from_friday = {"field": "volume_l", "value": 22_000, "effective_from": "2026-11-06"}
    log = [
        seen(1, "set", 0, 1, target="pond", field="volume_l", value=20_000),
        seen(2, "set", 0, 2, target="pond", **from_friday),
    ]
    volumes = [fold(log).ponds(START.date() + timedelta(days=n))[0].volume_l for n in (0, 2, 3)]
    assert volumes == [20_000, 20_000, 22_000]
