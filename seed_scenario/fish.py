"""The fish of the story: the register, the bowling sessions, what moved and what was seen, and a drawing of each.

What is read here becomes entries in load.py. Drawings go by the sum of their bytes, as photos do everywhere.
"""

import hashlib
import uuid
from collections.abc import Callable, Iterable, Iterator
from datetime import date
from typing import Any

from .draw import drawn

Row = dict[str, str]
Told = tuple[str, dict[str, Any], dict[str, Any]]
"""Where it stands in the files, its row, and what it says."""
_TOTAL_PER_STANDARD = 1.20
_FIELDS = ("name", "variety", "sex", "origin", "marks")


def register(rows: Iterable[Row], today: date, dated: Callable[[Any], Any]) -> Iterator[Told]:
    """Settings of each fish; `born_years_ago` and `came_day` count from today, `dated` turns days into dates."""
    for row in rows:
        fields: dict[str, Any] = {name: row[name] for name in _FIELDS if row[name]}
        fields["born_year"] = today.year - int(row["born_years_ago"])
        fields |= {"count": int(row["count"])} if row["count"] != "1" else {}
        fields |= {"came_on": int(row["came_day"])} if row["came_day"] else {}
        for name, value in dated(fields).items():
            says = {"kind": "set", "target": f"fish/{row['id']}", "field": name, "value": value}
            yield f"fish/{row['id']}/{name}", row, {**says, "effective_from": None}


def measures(rows: Iterable[Row], pictures: dict[str, bytes], colours: dict[str, str]) -> Iterator[Told]:
    """What was measured in the bowl. Those drawn are added to `pictures`, by sum."""
    for nth, row in enumerate(rows):
        found = [one.split(": ", 1) for one in row["found"].split("; ") if one]
        says: dict[str, Any] = {
            "kind": "fish_measure",
            "fish": row["fish"],
            "length_cm": float(row["length_cm"]),
            "length_is": row["length_is"],
            "checked": row["checked"].split(),
            "found": [{"where": where, "text": text} for where, text in found],
            "water_c": float(row["water_c"]),
            "bowl_s": float(row["bowl_s"]),
            "session": str(uuid.uuid5(uuid.NAMESPACE_OID, f"bowling of {row['pond']} on {row['day']}")),
        }
        says |= {"weight_g": float(row["weight_g"])} if row["weight_g"] else {}
        says |= {"text": row["words"]} if row["words"] else {}
        if row["photo"]:
            total_cm = says["length_cm"] * (_TOTAL_PER_STANDARD if row["length_is"] == "standard" else 1.0)
            picture = drawn(row["fish"], colours[row["fish"]], total_cm, int(row["day"]))
            photo_sum = hashlib.sha256(picture).hexdigest()
            pictures[photo_sum] = picture
            says["photos"] = [photo_sum]
        yield f"bowling/{nth}", row, says


def days(rows: Iterable[Row]) -> Iterator[Told]:
    """Fish that came or left, and what was seen on them."""
    for nth, row in enumerate(rows):
        yield f"fish_days/{nth}", row, _move(row) if row["kind"] == "move" else _seen(row)


def _move(row: Row) -> dict[str, Any]:
    ponds = {name: row[name] for name in ("from_pond", "to_pond") if row[name]}
    says = {"kind": "fish_move", "fish": row["fish"].split(), "how": row["how"], "count": int(row["count"])}
    return {**says, **ponds, "quarantine": row["quarantine"] == "yes"}


def _seen(row: Row) -> dict[str, Any]:
    return {"kind": "fish_seen", "fish": row["fish"].split(), "signs": row["signs"].split(), "text": row["words"]}
