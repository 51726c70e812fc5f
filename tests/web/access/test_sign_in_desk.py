"""How many guesses the desk admits, from where and at whom."""

from datetime import UTC, datetime, timedelta

import pytest

from evenwater.domain.people import Credential, Person
from evenwater.web.access.passphrases import hash_passphrase, is_passphrase, readable_secret
from evenwater.web.access.sign_in_desk import SignInDesk
from evenwater.web.errors import Refusal

NOW = datetime(2026, 11, 25, 17, 2, 3, tzinfo=UTC)
AKI = Credential(Person("p1", "Aki", NOW), "hash", knows_device=False)
AKI_AT_HOME = Credential(Person("p1", "Aki", NOW), "hash", knows_device=True)


def admitted_names(desk: SignInDesk, names: list[str], found: Credential | None, now: datetime = NOW) -> int:
    count = 0
    for name in names:
        try:
            desk.admit_name(name, "a device", found, now)
            count += 1
        except Refusal as refusal:
            assert refusal.status_code == 429 and refusal.problem.code == "slow_down"
    return count


def test_an_address_has_twenty_tries_and_then_one_each_half_minute() -> None:
    desk = SignInDesk(None)
    for _ in range(20):
        desk.admit_address("10.0.0.1", NOW)
    with pytest.raises(Refusal) as refused:
        desk.admit_address("10.0.0.1", NOW)
    assert refused.value.headers == {"Retry-After": "30"}
    desk.admit_address("10.0.0.2", NOW)
    desk.admit_address("10.0.0.1", NOW + timedelta(seconds=30))
    with pytest.raises(Refusal):
        desk.admit_address("10.0.0.1", NOW + timedelta(seconds=31))


@pytest.mark.parametrize("found", [AKI, None])
def test_a_name_has_ten_tries_however_it_is_spelt_and_whether_it_exists(found: Credential | None) -> None:
    desk = SignInDesk(None)
    assert admitted_names(desk, ["Aki", "aki", "AKI ", "Ａｋｉ"] * 5, found) == 10
    assert admitted_names(desk, ["aki"] * 5, found, NOW + timedelta(minutes=2)) == 2


def test_a_day_of_guessing_at_one_name_gets_fewer_than_fifteen_hundred_tries() -> None:
    desk = SignInDesk(None)
    tried = sum(admitted_names(desk, ["aki"], AKI, NOW + timedelta(seconds=10 * n)) for n in range(8640))
    assert 1440 <= tried < 1500


def test_guessing_many_names_from_many_addresses_is_slowed_down_too() -> None:
    assert admitted_names(SignInDesk(None), [f"name {n}" for n in range(1000)], None) == 60


def test_a_device_used_before_is_counted_apart_from_the_strangers() -> None:
    desk = SignInDesk(None)
    assert admitted_names(desk, [f"name {n}" for n in range(100)] + ["aki"] * 20, AKI) == 60
    assert admitted_names(desk, ["aki"] * 20, AKI_AT_HOME) == 10


def test_the_code_may_be_typed_without_its_dash_and_in_small_letters() -> None:
    desk = SignInDesk("K7MF-2Q9P")
    desk.require_code("k7mf 2q9p")
    for wrong in ("", "K7MF-2Q9", "K7MF-2Q9PP", "é", "\x00"):
        with pytest.raises(Refusal) as refused:
            desk.require_code(wrong)
        assert refused.value.problem.code == "wrong_code"
    desk.require_code("K7MF-2Q9P")


@pytest.mark.parametrize("one_time_code", [None, "", "-"])
def test_no_code_is_no_open_door(one_time_code: str | None) -> None:
    for given in ("", "None"):
        with pytest.raises(Refusal):
            SignInDesk(one_time_code).require_code(given)


def test_a_passphrase_is_known_by_its_hash_alone_and_nobodys_never() -> None:
    one, other = hash_passphrase("eight koi"), hash_passphrase("eight koi")
    assert one != other and one.startswith("$argon2id$v=19$")
    assert is_passphrase(one, "eight koi") and not is_passphrase(one, "Eight koi")
    assert not is_passphrase(None, "eight koi") and not is_passphrase(None, "")


def test_secrets_for_reading_out_are_long_enough_and_never_alike() -> None:
    secrets = {readable_secret(4) for _ in range(200)}
    assert len(secrets) == 200
    assert all(len(one) == 19 and not set(one) & set("01OIL") for one in secrets)
