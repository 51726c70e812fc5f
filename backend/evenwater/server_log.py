"""What the server says while it runs: lines in words, or one JSON document a line."""

import logging
import sys
from datetime import UTC, datetime

import msgspec

IN_WORDS = "%(asctime)s %(name)s: %(message)s"


def set_up_log(*, json_lines: bool) -> None:
    """Let whatever the server logs go to the errors' stream, one line each where it is JSON."""
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(JsonLines() if json_lines else logging.Formatter(IN_WORDS))
    logging.basicConfig(level=logging.INFO, handlers=[handler])
    logging.getLogger("uvicorn.error").setLevel(logging.WARNING)  # it announces each start and stop twice
    for chatty in ("httpx", "httpcore"):
        logging.getLogger(chatty).setLevel(logging.WARNING)


class JsonLines(logging.Formatter):
    """Each line a document: when, how serious, which part of the server, what it says, and the fault behind it."""

    def format(self, record: logging.LogRecord) -> str:
        line = {
            "at": datetime.fromtimestamp(record.created, UTC),
            "level": record.levelname.lower(),
            "from": record.name,
            "says": record.getMessage(),
        }
        if record.exc_info:
            line["fault"] = self.formatException(record.exc_info)
        return msgspec.json.encode(line).decode()
