"""Hands a message to a mail server (RFC 5321 submission), with whichever encryption the settings ask for.

- Once the server has said 250 to the message it is the server's, whatever happens to the line after that.
- How long each step may take is bounded; the last one by ten minutes, as RFC 5321 section 4.5.3.2.6 asks: a server that
  takes long has often taken the message, and giving up early would send it twice.
- What goes wrong is told in our words with the server's code; the server's own may hold anything and are left out.
"""

import contextlib
import ssl
from collections.abc import Callable

import aiosmtplib

from evenwater.delivery.render.letter import SENT_AS, address_of, letter
from evenwater.delivery.send.not_sent import Carrier, NotSent
from evenwater.domain.email_address import NoAddress, email_address
from evenwater.domain.messages import Message
from evenwater.settings import Smtp

STEP_LIMIT_S = 30.0
TAKING_LIMIT_S = 600.0


def email_carrier(
    smtp: Smtp, password: Callable[[], str | None], base_url: str, trust: ssl.SSLContext | None = None
) -> Carrier:
    """The carrier of e-mail.

    `password` is asked for with each connection, so that a new one needs no restart; `base_url` is where links lead;
    `trust`: whose certificates are good, None the system's.
    """

    async def carry(message: Message) -> None:
        try:
            content = letter(message, smtp.sender, base_url).as_bytes(policy=SENT_AS)
            sender, to = address_of(smtp.sender).addr_spec, email_address(message.to)
        except NoAddress:
            raise NotSent("the address is no e-mail address", for_good=True) from None
        try:
            async with _connection(smtp, password(), trust) as server:
                await server.mail(sender)
                await server.rcpt(to)
                await server.data(content, timeout=TAKING_LIMIT_S)
        except (aiosmtplib.SMTPException, OSError, ValueError) as error:
            raise _not_sent(error) from error

    return carry


@contextlib.asynccontextmanager
async def _connection(smtp: Smtp, password: str | None, trust: ssl.SSLContext | None):  # type: ignore[no-untyped-def]
    server = aiosmtplib.SMTP(
        hostname=smtp.host,
        port=smtp.port,
        timeout=STEP_LIMIT_S,
        use_tls=smtp.security == "tls",
        start_tls=smtp.security == "starttls",
        tls_context=trust,
        local_hostname=address_of(smtp.sender).domain or "localhost",
    )
    await server.connect()
    try:
        if smtp.user is not None:
            await server.login(smtp.user, password or "")
        yield server
        with contextlib.suppress(aiosmtplib.SMTPException, OSError):
            await server.quit(timeout=2.0)  # it has been taken; a line that breaks now changes nothing
    finally:
        server.close()


def _not_sent(error: Exception) -> NotSent:
    """What a failure means: whether it is worth trying again, in a sentence that may be shown; no host stands in it."""
    match error:
        case aiosmtplib.SMTPAuthenticationError():
            return NotSent(f"the mail server refuses the user name or password ({error.code})")
        case aiosmtplib.SMTPRecipientRefused():
            return NotSent(f"the mail server refuses the address ({error.code})", for_good=error.code >= 500)
        case aiosmtplib.SMTPSenderRefused():
            return NotSent(f"the mail server refuses the sender's address ({error.code})")
        case aiosmtplib.SMTPDataError():
            return NotSent(f"the mail server refuses the message ({error.code})", for_good=error.code >= 500)
        case aiosmtplib.SMTPResponseException():
            return NotSent(f"the mail server answers with an error ({error.code})")
        case ssl.SSLError():
            return NotSent("no encrypted line to the mail server: look at --smtp-security and its certificate")
        case aiosmtplib.SMTPTimeoutError() | TimeoutError():
            return NotSent("the mail server does not answer in time")
        case aiosmtplib.SMTPConnectError() | aiosmtplib.SMTPServerDisconnected() | OSError():
            return NotSent("the mail server cannot be reached")
        case _:
            return NotSent("the mail server offers no such encryption or sign-in: look at --smtp-security")
