"""What a helper is given while the keepers are away: dates, jobs, ceilings, and where things are.

A hand-over is settings like any others: `set` entries with target `hand-over/ID`, so that it travels, can be made
without signal and shows who changed what. The secret of its link is no entry; it is kept apart, as a hash.
"""

from datetime import date, timedelta
from typing import Annotated, Literal

from msgspec import Meta, Struct

from evenwater.domain.contact import Contact, Tel
from evenwater.domain.entries import Amount, Line, Sha256, Slug, Substance, Uuid, Words

LATE_FOR = timedelta(days=7)
"""For so long after the last day entries of a bound device, dated inside the hand-over, are still taken."""
MOVES_WITHIN = timedelta(hours=24)
"""For so long after "Use this phone" the code may move to another browser once, unasked."""

JobOfPond = Annotated[str, Meta(pattern=r"^[a-z0-9][a-z0-9-]{0,39}/[a-z0-9][a-z0-9-]{0,39}\Z")]
Thing = Literal["residual_current_device", "stopcock", "feed", "buffer", "filter_house", "spares", "other"]


class Helper(Struct, frozen=True, forbid_unknown_fields=True):
    """Who helps: `id` is the author of what they record."""

    id: Uuid
    name: Line
    tel: Tel | None = None


class Ceiling(Struct, frozen=True, forbid_unknown_fields=True):
    """The most a helper may give a pond in a day: food in numbered bags, buffer a fixed amount in numbered bags.

    None is none at all. `buffer_kh_dkh` is the reading from which the keeper confirmed the buffer, on `confirmed_on`.
    """

    pond: Slug
    feed_g_per_day: Amount | None = None
    buffer_g_per_day: Amount | None = None
    substance: Substance = "sodium_bicarbonate"
    buffer_kh_dkh: Annotated[float, Meta(ge=0, le=25)] | None = None
    confirmed_on: date | None = None


class Shown(Struct, frozen=True, forbid_unknown_fields=True):
    """Something a helper may have to find: a photo, and where it is in words."""

    what: Thing
    where: Line | None = None
    photo: Sha256 | None = None


class HandOver(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """From the first day to the last, both counted, in the zone of `pond`.

    `jobs`: what they do, as "pond/standing job". `other_doses`: whether jobs with an amount other than food and buffer
    may be among them. `rehearsal_on`: a trial round before; None is the day before the first. `ring`: whom to ring,
    before the ponds' own. `called_off`: it never was, or ended today.
    """

    id: str
    pond: str
    name: Line = "While we are away"
    begins_on: date | None = None
    ends_on: date | None = None
    rehearsal_on: date | None = None
    helpers: Annotated[tuple[Helper, ...], Meta(max_length=2)] = ()
    jobs: Annotated[tuple[JobOfPond, ...], Meta(max_length=60)] = ()
    ceilings: Annotated[tuple[Ceiling, ...], Meta(max_length=10)] = ()
    other_doses: bool = False
    shown: Annotated[tuple[Shown, ...], Meta(max_length=20)] = ()
    words: Words | None = None
    ring: Annotated[tuple[Contact, ...], Meta(max_length=6)] = ()
    called_off: bool = False

    @property
    def rehearsed_on(self) -> date | None:
        """The date of the trial round."""
        if self.rehearsal_on is not None or self.begins_on is None:
            return self.rehearsal_on
        return self.begins_on - timedelta(days=1)

    @property
    def ponds(self) -> frozenset[str]:
        """Every pond they do something at."""
        return frozenset(job.partition("/")[0] for job in self.jobs)

    def runs_on(self, on: date) -> bool:
        """Whether that date is one of its days."""
        if self.called_off or self.begins_on is None or self.ends_on is None:
            return False
        return self.begins_on <= on <= self.ends_on

    def ceiling(self, pond: str) -> Ceiling:
        """What may be given at a pond; nothing where nothing was said."""
        return next((one for one in self.ceilings if one.pond == pond), Ceiling(pond))
