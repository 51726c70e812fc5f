"""What goes wrong with a page that a person opens by itself: in words to a browser, as everywhere to a program."""

from collections.abc import Callable
from html import escape
from typing import Any

from litestar import MediaType, Request, Response

from evenwater.delivery.render.printable import paper_page
from evenwater.web.errors import HANDLERS, Problem


def _in_words(handler: Callable[..., Response[Problem]]) -> Callable[..., Response[Any]]:
    def handle(request: Request[Any, Any, Any], error: Exception) -> Response[Any]:
        answer = handler(request, error)
        if "text/html" not in request.headers.get("accept", ""):
            return answer
        problem = answer.content
        said = f"<p role=alert><b>{escape(problem.what)}</b></p><p>Right would be: {escape(problem.right)}</p>"
        page = paper_page("This page could not be made", f"{said}<p><a href=/book>Back to the app</a></p>")
        headers = {name: value for name, value in answer.headers.items() if name.lower() != "content-type"}
        return Response(page, status_code=answer.status_code, media_type=MediaType.HTML, headers=headers)

    return handle


IN_WORDS: dict[type[Exception] | int, Callable[..., Response[Any]]] = {
    error: _in_words(handler) for error, handler in HANDLERS.items()
}
