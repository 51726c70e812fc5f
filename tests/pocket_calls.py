"""A phone without a browser that calls a server in this process, and commands run beside it."""

from collections.abc import Awaitable, Callable
from concurrent.futures import ThreadPoolExecutor

import httpx
from conftest import START
from pocket import Heard, Pocket

Send = Callable[[bytes], Awaitable[Heard]]


def line_to(client: httpx.AsyncClient) -> Send:
    async def send(body: bytes) -> Heard:
        answer = await client.post("/api/sync", content=body, headers={"Content-Type": "application/json"})
        return Heard(answer.status_code, answer.headers["content-type"].partition(";")[0], answer.content)

    return send


async def drain(pocket: Pocket, send: Send) -> None:
    """Call until nothing waits and the whole log was read."""
    for _ in range(20):
        assert await pocket.push(START, send)
        if not pocket.store.outbox and len(pocket.store.entries) == pocket.store.cursor:
            return
    raise AssertionError("the phone is not done after twenty calls")


def in_thread(work: Callable[[], object]) -> object:
    """Commands run a loop of their own, which cannot be inside a test's."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(work).result(120)
