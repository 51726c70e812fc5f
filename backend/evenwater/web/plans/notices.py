"""What stands on the round that is no job: gathered with each plan, since it changes without an entry."""

from collections.abc import Mapping
from datetime import datetime
from zoneinfo import ZoneInfo

from evenwater.domain.rounds.heard.notices import (
    GIVEN_UP_SHOWN,
    PUT_BACK_TOLD_FOR,
    alarm_notices,
    no_backup_notices,
    not_sent_notices,
    not_taken_notices,
    put_back_notices,
)
from evenwater.domain.rounds.jobs import Notice
from evenwater.storage.alarms import open_alarms
from evenwater.storage.database import Database
from evenwater.storage.helper_log import refused_lately
from evenwater.storage.messages import alarms_told, troubled_messages
from evenwater.storage.no_backup import no_backup
from evenwater.storage.restore import put_back_since


async def notices_of(database: Database, names: Mapping[str, str], zone: ZoneInfo, now: datetime) -> list[Notice]:
    """What did not go out, what people heard of that is not over, what helpers recorded that was not taken, that no
    backup can be made, and that the household was put back from one.
    """
    alarms = await open_alarms(database)
    told = await alarms_told(database) if alarms else {}
    troubled = await troubled_messages(database, now - GIVEN_UP_SHOWN)
    refused = await refused_lately(database, now)
    put_back = await put_back_since(database, now - PUT_BACK_TOLD_FOR)
    return [
        *put_back_notices(put_back, zone),
        *no_backup_notices(await no_backup(database), zone),
        *not_taken_notices(refused, names, zone),
        *alarm_notices(alarms, told, names, zone),
        *not_sent_notices(troubled),
    ]
