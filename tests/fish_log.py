"""A log of fish, written by hand."""

from datetime import datetime, time, timedelta

from written_log import NOW, Log


class FishLog(Log):
    """A pond with a register."""

    def fish(self, fish: str, pond: str = "main", **fields: object) -> None:
        for field, value in ({"name": fish.title()} | fields).items():
            at = NOW - timedelta(days=3000)
            self.write("set", at, pond=pond, target=f"fish/{fish}", field=field, value=value)

    def measure(self, fish: str, days_ago: int, length_cm: float | None = None, **more: object) -> str:
        at = datetime.combine((NOW - timedelta(days=days_ago)).date(), time(12), NOW.tzinfo)
        kind = {} if length_cm is None else {"length_cm": length_cm, "length_is": "total"}
        return self.write("fish_measure", at, fish=fish, **(kind | more)).entry.id

    def move(self, days_ago: int, fish: list[str], count: int = 1, **more: object) -> None:
        pond = more.get("to_pond") or more.get("from_pond")
        at = NOW - timedelta(days=days_ago)
        self.write("fish_move", at, count=count, fish=fish, **({"pond": pond} | more))
