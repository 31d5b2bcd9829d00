"""The pages over a real record: what they show, what they say when something is missing, and that markup in words stays text."""

import pytest


def test_an_empty_record_says_what_to_do(client):
    assert "gudgeon take" in client.get("/").text
    assert "Nothing is open" in client.get("/open").text
    assert "gudgeon spec load" in client.get("/spec").text


def test_the_session_page_shows_words_facts_and_values(client, filled):
    page = client.get(f"/session/{filled}").text
    assert 'class="fact fact-torque"' in page
    assert "80 N·m" in page
    assert "40 lb·ft (54.2 N·m)" in page
    assert "<path d=" in page
    assert "manual decides" in page


def test_markup_in_words_stays_text(client, filled):
    for address in (f"/session/{filled}", "/find?q=drain", "/find?q=<script>alert(1)</script>"):
        assert "<script>alert" not in client.get(address).text


def test_a_notes_sound_comes_whole_and_in_parts(client, filled, opener):
    with opener() as record:
        note = record.notes(filled)[1]
    address = f"/session/{filled}/note/{note.id}.wav"
    whole = client.get(address)
    assert whole.status_code == 200
    assert whole.content[:4] == b"RIFF"
    assert len(whole.content) == pytest.approx(2 * 16_000 * (2.5 + 0.3), rel=0.01)
    part = client.get(address, headers={"Range": "bytes=1000-1999"})
    assert part.status_code == 206
    assert part.content == whole.content[1000:2000]
    assert "content-encoding" not in part.headers
    assert client.get("/session/1").headers["content-encoding"] == "gzip"
    assert client.get(address, headers={"Range": "bytes=99999999-"}).status_code == 416


def test_search_finds_a_value_and_its_sound(client, filled):
    answer = client.get("/find.json", params={"q": "drain plug"}).json()
    assert "40 lb·ft" in answer["html"]
    assert ".wav" in answer["html"]
    assert "Nothing was found" in client.get("/find.json", params={"q": "zzzzzz"}).json()["html"]


def test_missing_things_are_said_in_sentences(client, filled, opener):
    assert client.get("/session/99").status_code == 404
    assert client.get(f"/session/{filled}/note/999.wav").status_code == 404
    with opener() as record:
        for file in (record.folder / "sound" / str(filled)).iterdir():
            file.unlink()
        (record.folder / "sound" / str(filled)).rmdir()
    assert "not there any more" in client.get(f"/session/{filled}").text


def test_other_names_and_other_sites_are_refused(client, filled):
    assert client.get("/", headers={"Host": "workshop.example"}).status_code == 403
    answer = client.get("/")
    assert "default-src 'none'" in answer.headers["content-security-policy"]
    for path in ("/static/../app.py", "/static/%2e%2e/app.py", "/session/1/note/..%2f..%2frecord.db.wav"):
        assert client.get(path).status_code in (404, 422)
