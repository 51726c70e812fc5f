"""The web application, joined from its parts. Every route is listed here and nowhere else."""

from collections.abc import Callable
from datetime import datetime

from litestar import Litestar
from litestar.di import Provide
from litestar.openapi import OpenAPIConfig
from litestar.openapi.plugins import JsonRenderPlugin

from evenwater import __version__
from evenwater.settings import Settings
from evenwater.storage.database import Database
from evenwater.web import errors
from evenwater.web.access.authority import Https
from evenwater.web.access.security import SIGNED_IN, require_sign_in, secure
from evenwater.web.access.sign_in import sign_in_routes
from evenwater.web.access.trust import trust_routes
from evenwater.web.answers.book import book
from evenwater.web.answers.print_round import print_routes
from evenwater.web.answers.reckon import reckon_routes
from evenwater.web.answers.report import report_routes
from evenwater.web.assets import asset_routes, load_assets
from evenwater.web.exchange.photos import photo_routes
from evenwater.web.exchange.sync import sync_routes
from evenwater.web.health import health
from evenwater.web.helping.coming_home import report
from evenwater.web.helping.hand_overs import hand_over_routes
from evenwater.web.helping.helpers import helper_routes
from evenwater.web.intake.past import past_routes
from evenwater.web.intake.probe import probe_routes
from evenwater.web.intake.probe_keys import probe_key_routes
from evenwater.web.intake.samples import sample_routes
from evenwater.web.messages.alarms import on_it_here
from evenwater.web.messages.feed import feed_routes
from evenwater.web.messages.message_acts import message_act_routes
from evenwater.web.messages.push import push_routes
from evenwater.web.messages.reach import reach_routes
from evenwater.web.packing import PACKED_ANSWERS
from evenwater.web.plans.planning import Planner
from evenwater.web.rate import TokenBuckets

MAX_BODY = 1_000_000


def create_app(
    database: Database,
    settings: Settings,
    clock: Callable[[], datetime],
    one_time_code: str | None = None,
    https: Https | None = None,
) -> Litestar:
    """An application over an open database.

    `clock` gives the moment, aware, in UTC. `one_time_code` is asked of whoever begins the household from elsewhere;
    `https`, when the server has an authority of its own, is what phones are to trust.
    """
    planner = Planner(database)
    routes = [health, sign_in_routes, sync_routes, past_routes(database), reckon_routes(clock), print_routes]
    routes += [probe_routes(database, clock), probe_key_routes, sample_routes, photo_routes(database, settings)]
    routes += [push_routes, *feed_routes(database, clock), reach_routes, message_act_routes, on_it_here]
    routes += [report_routes(database, settings), book, report, hand_over_routes, helper_routes(), asset_routes]
    app = Litestar(
        route_handlers=[*routes, trust_routes(settings, https)] if https else routes,
        guards=[require_sign_in],
        dependencies={
            "database": Provide(lambda: database, sync_to_thread=False),
            "settings": Provide(lambda: settings, sync_to_thread=False),
            "clock": Provide(lambda: clock, sync_to_thread=False),
            "planner": Provide(lambda: planner, sync_to_thread=False),
            **SIGNED_IN,
        },
        compression_config=PACKED_ANSWERS,
        exception_handlers=errors.HANDLERS,
        logging_config=None,
        openapi_config=OpenAPIConfig(
            title="evenwater", version=__version__, path="/schema", render_plugins=[JsonRenderPlugin()]
        ),
        request_max_body_size=MAX_BODY,
    )
    app.state.assets = load_assets(settings.frontend)
    app.state.planner = planner
    app.state.test_messages = TokenBuckets(capacity=3, refill_per_s=1 / 60)
    secure(app, database, settings, clock, one_time_code)
    return app
