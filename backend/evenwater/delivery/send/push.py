"""Notifications to browsers: written for one browser alone (RFC 8291), handed to its maker's push service (RFC 8030).

- The service learns when somebody is told something, and how much, never what.
- It is told who we are by a signature (RFC 8292); only with our key can anybody send to our browsers.
- We connect to the address that was looked up and found public, over TLS that names the host; no redirect is followed
  and next to nothing of the answer is read.
- The address of a browser is as good as a key to it: it stands in no log and in no sentence.
"""

import asyncio
import logging
import ssl
from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta
from email.utils import parsedate_to_datetime
from typing import Any, cast

import http_ece  # pyright: ignore[reportMissingTypeStubs]
import httpx
import msgspec
from cryptography.hazmat.primitives.asymmetric import ec
from py_vapid import Vapid02  # pyright: ignore[reportMissingTypeStubs]

from evenwater.delivery.render.notification import is_alarm, notification, tag_of
from evenwater.delivery.send.not_sent import NotSent
from evenwater.delivery.send.public_hosts import NotPublic, Place, Resolve, public_places
from evenwater.domain.errors import DomainError
from evenwater.domain.messages import Message
from evenwater.domain.push_address import push_host
from evenwater.storage.database import Database
from evenwater.storage.push import Subscription, forget_subscription, subscription

TIME_LIMIT_S = 10.0
LENGTHS = (1200, 240)
"""How much of the text goes along [bytes]; the second where the first was too long for the service."""
_SIGNED_FOR = timedelta(hours=12)
_RECORD_BYTES = 4096
_LONGEST_WAIT = timedelta(hours=24)
_TRIED = 3
_ALARM_KEPT_S, _LIST_KEPT_S = 12 * 3600, 8 * 3600
_GONE = (404, 410)

log = logging.getLogger("evenwater.push")


class PushCarrier:
    """Carries messages whose `to` is a subscription's id.

    `contact`: "https://…" or "mailto:…", by which a push service may reach whoever runs this server. `resolve` gives
    where to connect for a host name; `trust`: whom TLS believes, None for the system's authorities.
    """

    def __init__(
        self,
        database: Database,
        key: ec.EllipticCurvePrivateKey,
        contact: str,
        clock: Callable[[], datetime],
        resolve: Resolve = public_places,
        trust: ssl.SSLContext | None = None,
    ) -> None:
        self._database, self._clock, self._resolve = database, clock, resolve
        self._vapid, self._contact, self._trust = Vapid02(key), contact, trust
        logging.getLogger("httpx").setLevel(logging.WARNING)  # else each address stands in the log

    async def __call__(self, message: Message) -> None:
        """Hand a message to the push service of its browser.

        Raises:
            NotSent: it was not taken.
        """
        to = await subscription(self._database, message.to, self._clock())
        if to is None:
            raise NotSent("the device was signed out, or takes no notifications any more", for_good=True)
        try:
            async with asyncio.timeout(TIME_LIMIT_S):
                host, places = await self._places(to)
                answer = await self._post(to, message, host, places, LENGTHS[0])
                if answer.status_code == 413:
                    answer = await self._post(to, message, host, places, LENGTHS[1])
        except TimeoutError:
            raise NotSent("its push service did not answer in time") from None
        await self._judge(to, answer)

    async def _places(self, to: Subscription) -> tuple[str, Sequence[Place]]:
        try:
            host = push_host(to.endpoint)
            return host, await self._resolve(host, 443)
        except (DomainError, NotPublic):
            raise NotSent("its push service has no address out on the internet", for_good=True) from None
        except OSError:
            raise NotSent("its push service is not known to this network") from None

    async def _post(
        self, to: Subscription, message: Message, host: str, places: Sequence[Place], length: int
    ) -> httpx.Response:
        content = sealed(to, msgspec.json.encode(notification(message, length)))
        headers = {"Host": host, **_headers(message), **self._signed(host)}
        failed = "no address"
        trust = True if self._trust is None else self._trust
        async with httpx.AsyncClient(verify=trust, trust_env=False, follow_redirects=False) as client:
            for address, port in places[:_TRIED]:
                url = httpx.URL(to.endpoint).copy_with(host=address, port=port)
                named = {"sni_hostname": host}  # TLS is with the name, whatever address it was found at
                request = client.build_request("POST", url, headers=headers, content=content, extensions=named)
                try:
                    answer = await client.send(request, stream=True)
                except httpx.HTTPError as error:
                    failed = type(error).__name__
                    if isinstance(error, httpx.ConnectError):
                        continue  # nothing was sent: another of its addresses may answer
                    break
                await answer.aclose()
                return answer
        raise NotSent(f"its push service could not be reached ({failed})")

    def _signed(self, host: str) -> dict[str, str]:
        expires_at = self._clock() + _SIGNED_FOR
        claims = {"aud": f"https://{host}", "exp": int(expires_at.timestamp()), "sub": self._contact}
        return cast("dict[str, str]", cast(Any, self._vapid).sign(claims))

    async def _judge(self, to: Subscription, answer: httpx.Response) -> None:
        status = answer.status_code
        if 200 <= status < 300:
            return
        service = f"the push service of {to.device_label or 'the device'}"
        if status in _GONE:
            await forget_subscription(self._database, to.id)
            raise NotSent(
                f"{to.device_label or 'the device'} takes no notifications any more: switch them on there again",
                for_good=True,
            )
        if status in (401, 403):
            raise NotSent(f"{service} does not know this server: switch notifications off and on there", for_good=True)
        if status == 429 or status >= 500:
            wait_s = retry_after_s(answer.headers.get("Retry-After"), self._clock())
            raise NotSent(f"{service} is busy ({status})", again_after_s=wait_s)
        raise NotSent(f"{service} refused it ({status})", for_good=True)


def sealed(
    to: Subscription, content: bytes, salt: bytes | None = None, key: ec.EllipticCurvePrivateKey | None = None
) -> bytes:
    """Content that only that browser can read; `salt` and `key` are new for each message unless a test gives them.

    Source:
        RFC 8291, section 3, with the content coding aes128gcm of RFC 8188 in one record.
    """
    sealed_content: bytes = cast(Any, http_ece).encrypt(
        content,
        salt=salt,
        private_key=key or ec.generate_private_key(ec.SECP256R1()),
        dh=to.p256dh,
        auth_secret=to.auth,
        rs=_RECORD_BYTES,
        version="aes128gcm",
    )
    return sealed_content


def retry_after_s(value: str | None, now: datetime) -> float | None:
    """How long we are asked to wait [s], in either form of RFC 9110; at most a day, None where nothing is said."""
    if value is None:
        return None
    text = value.strip()
    if text.isascii() and text.isdigit():
        wait_s = float(text[:9])
    else:
        try:
            until = parsedate_to_datetime(text)
        except ValueError:
            return None
        wait_s = ((until if until.tzinfo else until.replace(tzinfo=UTC)) - now).total_seconds()
    return min(max(wait_s, 0.0), _LONGEST_WAIT.total_seconds())


def _headers(message: Message) -> dict[str, str]:
    """`TTL`: for how long [s] the service keeps it for a browser that is off; `Topic`: of two alike it keeps one."""
    alarm = is_alarm(message)
    return {
        "Content-Encoding": "aes128gcm",
        "Content-Type": "application/octet-stream",
        "TTL": str(_ALARM_KEPT_S if alarm else _LIST_KEPT_S),
        "Urgency": "high" if alarm else "normal",
        "Topic": tag_of(message),
    }
