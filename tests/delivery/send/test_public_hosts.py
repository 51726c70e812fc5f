"""Which addresses a push service may have: those out on the internet."""

import pytest

from evenwater.delivery.send.public_hosts import NotPublic, is_public, look_up, public_places

PRIVATE = [
    *("127.0.0.1", "10.0.0.1", "172.16.0.1", "192.168.1.1", "169.254.169.254", "100.64.0.1", "0.0.0.0"),
    *("224.0.0.1", "240.0.0.1", "255.255.255.255", "198.18.0.1", "192.0.2.1"),
    *("::1", "::", "fe80::1", "fc00::1", "fd12::1", "ff02::1", "2001:db8::1"),
    *("::ffff:127.0.0.1", "::ffff:10.0.0.1", "64:ff9b::7f00:1", "64:ff9b::c0a8:101", "2002:7f00:1::1"),
    *("fe80::1%eth0", "", "localhost", "1.1.1", "0x7f.1"),
]
PUBLIC = ["1.1.1.1", "8.8.8.8", "2606:4700:4700::1111", "::ffff:1.1.1.1", "64:ff9b::101:101"]


@pytest.mark.parametrize("address", PRIVATE)
def test_an_address_at_home_is_not_public(address):
    assert not is_public(address)


@pytest.mark.parametrize("address", PUBLIC)
def test_an_address_out_there_is(address):
    assert is_public(address)


async def test_a_name_gives_all_its_addresses_with_the_port():
    async def told(host, port):
        return ["1.1.1.1", "2606:4700:4700::1111"]

    assert await public_places("push.example", 443, told) == [("1.1.1.1", 443), ("2606:4700:4700::1111", 443)]


@pytest.mark.parametrize("found", [["127.0.0.1"], ["1.1.1.1", "192.168.1.1"], ["::1"]])
async def test_a_name_that_leads_home_is_refused_whatever_else_it_leads_to(found):
    async def told(host, port):
        return found

    with pytest.raises(NotPublic):
        await public_places("push.example", 443, told)


async def test_a_name_nobody_knows_is_no_address():
    async def told(host, port):
        return []

    with pytest.raises(OSError, match="known"):
        await public_places("push.example", 443, told)


async def test_the_system_is_asked_and_this_machine_is_not_public():
    assert set(await look_up("localhost", 443)) <= {"127.0.0.1", "::1"}
    with pytest.raises(NotPublic):
        await public_places("localhost", 443)
