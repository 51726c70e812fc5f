"""A weather service, a mail server and a household that hears by it, on real sockets."""

from collections.abc import AsyncIterator, Iterator

import pytest
from house_by_post import MARIT, MINUTE, SEVEN, TOVE, House
from kept_log import settle_pond
from post_office import PostOffice
from weather_service import WeatherService

from evenwater.domain.people import Person
from evenwater.storage.database import Database
from evenwater.storage.people import add_person


@pytest.fixture
async def service() -> AsyncIterator[WeatherService]:
    async with WeatherService().running() as made:
        yield made


@pytest.fixture
def office() -> Iterator[PostOffice]:
    with PostOffice().open() as opened:
        yield opened


@pytest.fixture
async def house(database: Database, office: PostOffice) -> AsyncIterator[House]:
    for number, (person, name) in enumerate(((MARIT, "Marit"), (TOVE, "Tove"))):
        await add_person(database, Person(person, name, SEVEN + number * MINUTE), "hash")
    about = {"zone": "Europe/Berlin", "latitude": 52.5, "longitude": 13.4, "volume_l": 20_000, "capful_g": 27}
    await settle_pond(database, name="Long pond", ring=[{"name": "Vet", "tel": "+49 30 1"}], **about)
    made = House(database, office)
    await made.job("cover")
    yield made
