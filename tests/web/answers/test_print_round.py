"""The round without script: sign in by a form, read, print."""

import httpx


async def begin(client: httpx.AsyncClient) -> None:
    told = {"name": "Marit", "passphrase": "four small words here", "device": "0" * 8 + "-0000-4000-8000-" + "0" * 12}
    answer = await client.post("/api/people/first", json=told)
    assert answer.status_code == 200, answer.text
    client.cookies.clear()


async def test_nobody_sees_a_form_and_no_round(client):
    answer = await client.get("/print")
    assert answer.status_code == 200
    assert "<form" in answer.text
    assert "Round for" not in answer.text


async def test_the_form_signs_in_and_shows_the_round(client):
    await begin(client)
    answer = await client.post("/print", data={"name": "marit", "passphrase": "four small words here"})
    assert (answer.status_code, answer.headers["location"]) == (303, "/print")
    page = await client.get("/print")
    assert "Round for Tuesday 3 November" in page.text


async def test_a_wrong_passphrase_comes_back_with_the_form(client):
    await begin(client)
    answer = await client.post("/print", data={"name": "Marit", "passphrase": "something else"})
    assert answer.status_code == 401
    assert "not right" in answer.text
    assert "<form" in answer.text


async def test_a_form_of_another_site_is_refused(client):
    await begin(client)
    answer = await client.post(
        "/print",
        data={"name": "Marit", "passphrase": "four small words here"},
        headers={"Origin": "http://elsewhere.example"},
    )
    assert answer.status_code == 403
    assert "set-cookie" not in answer.headers
