"""Jobs written by hand, for what sorts, weighs and holds them."""

from datetime import UTC, date, datetime, timedelta

from evenwater.domain.rounds.jobs import Job

ON = date(2026, 11, 3)
MORNING = datetime(2026, 11, 3, 8, 0, tzinfo=UTC)


def a_job(which: str, /, **fields: object) -> Job:
    """A plain job of the morning at the water, with fields changed."""
    usual: dict[str, object] = {
        "id": f"{which}/{ON}/day",
        "standing_job": which,
        "due_on": ON,
        "slot": "day",
        "pond": "main",
        "place": "At the water",
        "part": "morning",
        "name": which.capitalize(),
        "text": which.capitalize(),
        "opens_at": MORNING,
        "closes_at": MORNING + timedelta(hours=2),
    }
    return Job(**(usual | fields))  # type: ignore[arg-type]
