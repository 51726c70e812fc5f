"""The gate and the guard: what gets in, from where, and what every answer says."""

import asyncio
from typing import Any

import httpx
import pytest

from evenwater.web.headers import CONTENT_POLICY

CLOSED = "/api/devices"


def problem(answer: httpx.Response) -> tuple[int, str]:
    body = answer.json()
    assert set(body) == {"code", "what", "where", "right"}
    return answer.status_code, body["code"]


@pytest.mark.parametrize(
    "host", ["localhost", "localhost:8420", "LOCALHOST", "localhost.", "127.0.0.1:1", "[::1]:8420", "teich.example"]
)
async def test_our_own_names_are_answered_whatever_the_port(make_household: Any, host: str) -> None:
    household = await make_household(public_names=("Teich.Example",))
    answer = await household.caller().get("/health", headers={"Host": host})
    assert answer.status_code == 200


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "localhost.evil.example",
        "evil.example:8420",
        "",
        "localhost, evil.example",
        "localhost/evil",
        "evil@localhost",
        "localhost:80:80",
        "localhost:",
        "127.0.0.1.evil.example",
        "0.0.0.0",
        "lo\u00e7alhost",
    ],
)
async def test_a_host_that_is_not_ours_is_refused_on_every_path(household: Any, host: str) -> None:
    for path in ("/health", "/", "/api/start", "/no/such/path.png"):
        answer = await household.caller().get(path, headers=[(b"Host", host.encode("latin-1"))])
        assert problem(answer) == (400, "unknown_host"), path


async def test_two_hosts_in_one_request_are_refused(household: Any) -> None:
    answer = await household.caller().get("/health", headers=[("Host", "localhost"), ("Host", "localhost")])
    assert problem(answer) == (400, "unknown_host")


async def test_listening_on_every_address_does_not_make_it_a_name(make_household: Any) -> None:
    household = await make_household(host="0.0.0.0", public_names=("192.168.1.20", "fd00::20"))
    for host, status in (("0.0.0.0:8420", 400), ("192.168.1.20:8420", 200), ("[fd00::20]:8420", 200)):
        assert (await household.caller().get("/health", headers={"Host": host})).status_code == status


@pytest.mark.parametrize("name", ["x-forwarded-host", "forwarded", "x-original-host"])
async def test_a_forwarded_host_does_not_replace_the_real_one(household: Any, name: str) -> None:
    answer = await household.caller().get("/health", headers={"Host": "evil.example", name: "localhost"})
    assert problem(answer) == (400, "unknown_host")


@pytest.mark.parametrize(
    "said",
    [
        {},
        {"Origin": "https://evil.example"},
        {"Origin": "http://localhost:3000"},
        {"Origin": "https://localhost"},
        {"Origin": "null"},
        {"Origin": "http://localhost.evil.example"},
        {"Origin": "http://localhost", "Sec-Fetch-Site": "cross-site"},
        {"Origin": "http://localhost", "Sec-Fetch-Site": "same-site"},
        {"Origin": "https://evil.example", "Sec-Fetch-Site": "same-origin"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": ""},
        {"Referer": "http://localhost/"},
    ],
)
async def test_a_write_with_a_session_from_elsewhere_is_refused(
    household: Any, keeper: httpx.AsyncClient, said: dict[str, str]
) -> None:
    elsewhere = household.caller()
    del elsewhere.headers["Origin"]
    elsewhere.cookies = keeper.cookies
    for method, path in (("POST", "/api/sign-out"), ("DELETE", "/api/devices/x"), ("PUT", "/"), ("PATCH", "/nowhere")):
        answer = await elsewhere.request(method, path, headers=said)
        assert problem(answer) == (403, "forbidden_origin"), (method, path)
    assert (await keeper.get(CLOSED)).status_code == 200


@pytest.mark.parametrize(
    "said",
    [
        {"Origin": "http://localhost"},
        {"Sec-Fetch-Site": "same-origin"},
        {"Sec-Fetch-Site": "none"},
        {"Origin": "null", "Sec-Fetch-Site": "same-origin"},
        {"Origin": "http://localhost", "Sec-Fetch-Site": "same-origin"},
    ],
)
async def test_a_write_from_our_own_page_passes(
    household: Any, keeper: httpx.AsyncClient, said: dict[str, str]
) -> None:
    page = household.caller()
    del page.headers["Origin"]
    page.cookies = keeper.cookies
    assert (await page.post("/api/sign-out", headers=said)).status_code == 204


@pytest.mark.parametrize("path", ["/api/sign-in", "/api/sign-in/", "/api/sign-in/example", "/api/people/first"])
@pytest.mark.parametrize("content_type", ["text/plain", "application/x-www-form-urlencoded", "application/json"])
async def test_another_sites_page_cannot_sign_anybody_in(household: Any, path: str, content_type: str) -> None:
    body = '{"name": "Aki", "passphrase": "eight koi in the dusk", "device": "0a4d2c1e-6f5b-4c3d-8e9f-001122334455"}'
    for said in ({"Origin": "https://evil.example", "Sec-Fetch-Site": "cross-site"}, {}):
        answer = await household.caller(**said).post(
            path, content=body, headers={"Content-Type": content_type} | ({"Origin": "null"} if not said else {})
        )
        assert problem(answer) == (403, "forbidden_origin")
        assert "set-cookie" not in answer.headers


async def test_a_script_without_a_session_hears_what_the_route_says(household: Any) -> None:
    script = household.caller()
    del script.headers["Origin"]
    assert problem(await script.post("/api/sign-out")) == (401, "sign_in")
    answer = await script.post(
        "/api/reckon/oxygen-saturation", json={"temperature_c": 20, "salinity_g_per_l": 0, "altitude_m": 0}
    )
    assert answer.status_code == 200


@pytest.mark.parametrize(("path", "status"), [("/api/sync", b"401"), ("/api/sign-in", b"403"), ("/api/none", b"404")])
async def test_a_refusal_reaches_who_sends_a_long_body_and_closes(
    household: Any, serve: Any, path: str, status: bytes
) -> None:
    port, _ = await serve(household.app)
    size = 4_000_000  # more than the sockets hold, or nothing would be left to lose
    reader, writer = await asyncio.open_connection("127.0.0.1", port)
    writer.write(f"POST {path} HTTP/1.0\r\nHost: localhost\r\nContent-Length: {size}\r\n\r\n".encode())
    writer.write(b" " * size)
    await writer.drain()
    answer = await reader.read()
    writer.close()
    await writer.wait_closed()
    assert answer.split(b" ")[1] == status and answer.endswith(b"}")


async def test_a_body_without_end_is_not_read_without_end(household: Any, serve: Any) -> None:
    port, _ = await serve(household.app)
    _, writer = await asyncio.open_connection("127.0.0.1", port)
    writer.write(
        b"POST /api/sync HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\nConnection: close\r\n\r\n"
    )
    megabyte = b"100000\r\n" + b" " * 0x100000 + b"\r\n"
    with pytest.raises(ConnectionError):
        for _ in range(200):
            writer.write(megabyte)
            await writer.drain()
    writer.close()


@pytest.mark.parametrize("token", ["", "x", "' OR 1=1 --", "\u00ff", "a" * 4000])
async def test_a_made_up_session_opens_nothing(household: Any, keeper: httpx.AsyncClient, token: str) -> None:
    cookie = [(b"Cookie", b"evenwater_session=" + token.encode("latin-1"))]
    assert problem(await household.caller().get(CLOSED, headers=cookie)) == (401, "sign_in")


@pytest.mark.parametrize(
    ("path", "status"),
    [("/", 200), ("/health", 200), ("/api/devices", 401), ("/api/start", 200), ("/no/such.png", 404)],
)
async def test_every_answer_carries_the_headers(household: Any, path: str, status: int) -> None:
    answers = [await household.caller().get(path), await household.caller("http://evil.example").get(path)]
    assert [answer.status_code for answer in answers] == [status, 400]
    for answer in answers:
        assert answer.headers["content-security-policy"] == CONTENT_POLICY
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["referrer-policy"] == "no-referrer"
        assert "camera=(), geolocation=(self), microphone=()" in answer.headers["permissions-policy"]
        assert "strict-transport-security" not in answer.headers
        assert len(answer.headers.get_list("content-security-policy")) == 1
        assert not path.startswith("/api/") or answer.headers["cache-control"] == "no-store"


def test_the_policy_lets_nothing_from_elsewhere_in() -> None:
    parts = dict(part.strip().split(" ", 1) for part in CONTENT_POLICY.split(";"))
    assert parts["default-src"] == "'self'"
    assert parts["frame-ancestors"] == parts["object-src"] == parts["base-uri"] == "'none'"
    assert "unsafe" not in CONTENT_POLICY and "*" not in CONTENT_POLICY


async def test_forwarded_headers_of_a_peer_that_is_no_proxy_of_ours_are_ignored(make_household: Any) -> None:
    household = await make_household(trusted_proxies=("10.0.0.1",), public_names=("teich.example",))
    forwarded = {"X-Forwarded-Proto": "https", "X-Forwarded-Host": "teich.example"}
    page = household.caller(peer="10.0.0.2", **forwarded)
    start = await page.get("/api/start")
    assert start.status_code == 200
    answer = await household.begin(household.caller(peer="10.0.0.2", **forwarded, Origin="https://teich.example"))
    assert problem(answer) == (403, "forbidden_origin")


@pytest.mark.parametrize("proxies", [("10.0.0.1",), ("10.0.0.0/8",), ("::ffff:10.0.0.1", "10.0.0.1")])
async def test_forwarded_headers_of_our_proxy_say_scheme_and_host(
    make_household: Any, proxies: tuple[str, ...]
) -> None:
    household = await make_household(
        trusted_proxies=proxies, public_names=("teich.example",), one_time_code="K7MF-2Q9P"
    )
    page = household.caller(
        "http://127.0.0.1:8420",
        peer="10.0.0.1",
        **{
            "X-Forwarded-Proto": "https",
            "X-Forwarded-Host": "teich.example",
            "X-Forwarded-For": "203.0.113.7",
            "Origin": "https://teich.example",
        },
    )
    answer = await household.begin(page, code="K7MF-2Q9P")
    assert answer.status_code == 200
    assert "Secure" in answer.headers["set-cookie"]


async def test_a_proxy_of_ours_cannot_bring_in_a_foreign_host(make_household: Any) -> None:
    household = await make_household(trusted_proxies=("10.0.0.1",))
    page = household.caller(peer="10.0.0.1", **{"X-Forwarded-Host": "evil.example"})
    assert problem(await page.get("/health")) == (400, "unknown_host")


async def test_a_network_that_is_none_is_refused_at_the_start(make_household: Any) -> None:
    with pytest.raises(ValueError, match="nginx"):
        await make_household(trusted_proxies=("nginx",))
