"""Behind Debian's nginx, a real one: it ends TLS, and only its word about the caller is taken."""

import asyncio
import os
import shutil
import socket
import ssl
from asyncio.subprocess import Process
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import AsyncExitStack
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import httpx
import pytest

from evenwater.web.access.authority import Https, prepare_https

NGINX = shutil.which("nginx", path=os.environ.get("PATH", "") + ":/usr/sbin:/usr/local/sbin")
NAME = "teich.example"
CODE = "K7MF-2Q9P"
# nginx calls from an address of its own, so that what comes straight from 127.0.0.1 is somebody else.
PROXY = "127.0.0.2"
pytestmark = pytest.mark.skipif(NGINX is None, reason="nginx is not installed (2026-11-25)")

# The `location` is the one README.md tells people to write.
README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
LOCATION = README.split("```nginx\n")[1].split("```")[0]
CONFIGURATION = """
daemon off; pid {folder}/nginx.pid; error_log stderr; {user}
events {{}}
http {{
    access_log off;
    client_body_temp_path {folder}/1; proxy_temp_path {folder}/2; fastcgi_temp_path {folder}/3;
    uwsgi_temp_path {folder}/4; scgi_temp_path {folder}/5;
    server {{
        listen 127.0.0.1:{port} ssl;
        ssl_certificate {certificate};
        ssl_certificate_key {key};
        proxy_bind {proxy};
        {location}
    }}
}}
"""


class Proxied:
    """A household behind nginx: `inside` is the server's own port, `outside` nginx's."""

    def __init__(self, household: Any, https: Https, inside: int, outside: int) -> None:
        self.household, self.inside, self.outside = household, inside, outside
        self._trust = ssl.create_default_context(cadata=https.authority_der)
        self.origin = f"https://{NAME}:{outside}"
        self.callers = AsyncExitStack()

    def phone(self, **headers: str) -> httpx.AsyncClient:
        """Somebody outside; the name stands in the headers, since no name server knows it."""
        transport = NamedTransport(verify=self._trust)
        host = {"Host": f"{NAME}:{self.outside}", "Origin": self.origin}
        return self._kept(f"https://127.0.0.1:{self.outside}", host | headers, transport)

    def straight(self, **headers: str) -> httpx.AsyncClient:
        """Somebody who reaches the server past nginx."""
        host = {"Host": f"{NAME}:{self.inside}", "Origin": f"http://{NAME}:{self.inside}"}
        return self._kept(f"http://127.0.0.1:{self.inside}", host | headers, None)

    def _kept(self, url: str, headers: dict[str, str], transport: httpx.AsyncHTTPTransport | None) -> httpx.AsyncClient:
        caller = httpx.AsyncClient(base_url=url, headers=headers, transport=transport)
        self.callers.push_async_callback(caller.aclose)
        return caller


class NamedTransport(httpx.AsyncHTTPTransport):
    """Asks for the certificate of NAME, wherever it connects to."""

    async def handle_async_request(self, request: httpx.Request) -> httpx.Response:
        request.extensions["sni_hostname"] = NAME
        return await super().handle_async_request(request)


def free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as listener:
        return listener.getsockname()[1]


async def until_it_listens(nginx: Process, port: int) -> None:
    while nginx.returncode is None:
        try:
            _, writer = await asyncio.open_connection("127.0.0.1", port)
        except ConnectionRefusedError:
            await asyncio.sleep(0.02)
            continue
        writer.close()
        await writer.wait_closed()
        return
    raise AssertionError(f"nginx ended by itself: {nginx.returncode}")


MakeProxied = Callable[..., Awaitable[Proxied]]


@pytest.fixture
async def behind_nginx(make_household: Any, serve: Any, tmp_path: Path) -> AsyncIterator[MakeProxied]:
    async with AsyncExitStack() as opened:

        async def make(**settings: Any) -> Proxied:
            given = {"trusted_proxies": (PROXY,), "one_time_code": CODE, "public_names": (NAME,)} | settings
            household = await make_household(**given)
            inside, _ = await serve(household.app)
            https = prepare_https(tmp_path / "nginx", (NAME,), datetime.now(UTC))
            outside = free_port()
            file = tmp_path / "nginx" / "nginx.conf"
            text = CONFIGURATION.format(
                folder=file.parent,
                user="user root;" if os.geteuid() == 0 else "",
                port=outside,
                certificate=https.certificate,
                key=https.key,
                location=LOCATION.replace("127.0.0.1:8420", f"127.0.0.1:{inside}"),
                proxy=PROXY,
            )
            file.write_text(text)
            nginx = await asyncio.create_subprocess_exec(str(NGINX), "-p", file.parent, "-c", file)
            opened.push_async_callback(nginx.wait)
            opened.callback(nginx.terminate)
            await until_it_listens(nginx, outside)
            proxied = Proxied(household, https, inside, outside)
            opened.push_async_callback(proxied.callers.aclose)
            return proxied

        yield make


def problem(answer: httpx.Response) -> tuple[int, str]:
    return answer.status_code, answer.json()["code"]


async def test_a_keeper_begins_and_signs_in_through_nginx(behind_nginx: MakeProxied) -> None:
    proxied = await behind_nginx()
    phone = proxied.phone()
    assert (await phone.get("/api/start")).json()["needs_code"] is True
    assert problem(await proxied.household.begin(phone)) == (403, "wrong_code")
    answer = await proxied.household.begin(phone, code=CODE)
    assert answer.status_code == 200 and "Secure" in answer.headers["set-cookie"]
    cookie = {"Cookie": answer.headers["set-cookie"].split(";")[0]}
    assert [one["label"] for one in (await phone.get("/api/devices", headers=cookie)).json()] == ["Aki's phone"]
    assert (await phone.post("/api/sign-out", headers=cookie)).status_code == 204
    assert problem(await phone.get("/api/devices", headers=cookie)) == (401, "sign_in")


async def test_a_page_of_another_site_is_refused_through_nginx(behind_nginx: MakeProxied) -> None:
    proxied = await behind_nginx()
    for origin in ("https://evil.example", f"http://{NAME}:{proxied.outside}", f"https://{NAME}:1", "null"):
        answer = await proxied.household.begin(proxied.phone(Origin=origin), code=CODE)
        assert problem(answer) == (403, "forbidden_origin"), origin


async def test_a_foreign_host_is_refused_through_nginx(behind_nginx: MakeProxied) -> None:
    proxied = await behind_nginx()
    for headers in ({"Host": "evil.example"}, {"Host": "evil.example", "X-Forwarded-Host": NAME}):
        assert problem(await proxied.phone(**headers).get("/health")) == (400, "unknown_host")
    assert (await proxied.phone(**{"X-Forwarded-Host": "evil.example"}).get("/health")).status_code == 200


async def test_guesses_are_counted_by_the_callers_address_whatever_they_say_it_is(behind_nginx: MakeProxied) -> None:
    proxied = await behind_nginx()
    codes = []
    for count in range(21):
        phone = proxied.phone(**{"X-Forwarded-For": f"203.0.113.{count}"})
        answer = await phone.post("/api/sign-in", json=proxied.household.person(passphrase="short"))
        codes.append(answer.status_code)
    assert codes == [400] * 20 + [429]
    # nginx's own address is another one: had all been counted as the proxy's, the server would refuse it too.
    straight = proxied.straight(**{"X-Forwarded-For": "203.0.113.1"})
    assert problem(await straight.post("/api/sign-in", json=proxied.household.person()))[0] == 429


async def test_past_nginx_forwarded_headers_say_nothing(behind_nginx: MakeProxied) -> None:
    proxied = await behind_nginx()
    forwarded = {"X-Forwarded-Proto": "https", "X-Forwarded-Host": f"{NAME}:{proxied.outside}"}
    liar = proxied.straight(**forwarded, Origin=proxied.origin)
    assert problem(await proxied.household.begin(liar, code=CODE)) == (403, "forbidden_origin")
    honest = await proxied.household.begin(proxied.straight(**forwarded), code=CODE)
    assert honest.status_code == 200 and "Secure" not in honest.headers["set-cookie"]


@pytest.mark.parametrize("trusted", [(PROXY,), (), ("127.0.0.0/8",)])
async def test_the_example_does_not_open_with_one_tap_through_nginx(
    behind_nginx: MakeProxied, trusted: tuple[str, ...]
) -> None:
    proxied = await behind_nginx(example=True, trusted_proxies=trusted)
    local = proxied.household.caller()
    assert (await proxied.household.begin(local, code=CODE)).status_code == 200
    for host in (f"{NAME}:{proxied.outside}", f"localhost:{proxied.outside}"):
        phone = proxied.phone(Host=host, **{"Sec-Fetch-Site": "same-origin", "Origin": "null"})
        assert (await phone.get("/api/start")).json()["example"] is False
        answer = await phone.post("/api/sign-in/example", json={"device": proxied.household.person()["device"]})
        assert problem(answer) == (403, "no_example")


def test_the_readme_passes_on_what_is_needed() -> None:
    assert "proxy_pass http://127.0.0.1:8420;" in LOCATION
    assert "--public-name" in README and "--trusted-proxy 127.0.0.1" in README


async def test_a_body_over_the_limit_gets_our_own_answer_through_nginx(behind_nginx: MakeProxied) -> None:
    proxied = await behind_nginx()
    answer = await proxied.phone().post("/api/sign-in", json=proxied.household.person(passphrase="x" * 1_100_000))
    assert problem(answer) == (413, "too_large")
