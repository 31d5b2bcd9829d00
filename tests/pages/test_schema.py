"""The interface for scripts, asked with made-up numbers, words and forms by schemathesis: every answer says what happened, none is a crash."""

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis.generation.modes import GenerationMode
from tests.pages.conftest import ORIGIN

from gudgeon.checks import read_spec
from gudgeon.domain import OpenItem
from gudgeon.pages import make_app
from gudgeon.session import settle

pytestmark = pytest.mark.slow

TEXT = {"type": "string", "maxLength": 300}
FORMS = {
    "/session/{number}/entry/{entry}/{what}": ["seen", "sure", "torque-0", "torque-new", "part", "count", "tool", "thread"],
    "/session/{number}/note/{note}/{what}": ["text"],
    "/session/{number}/talk/{what}": [],
    "/open/{item}/{what}": ["text", "back"],
    "/spec/edit": ["job", "text"],
    "/session/{number}/note/{note}/picture": [],
    "/bring/{number}/stop": [],
}
LEFT_OUT = {"/live/events", "/bring/file"}
"""A stream without an end, and the way for whole files, which its own tests attack."""
PAGES = {"/", "/job", "/joint", "/session/{number}", "/open", "/find", "/spec", "/spec/edit", "/live", "/bring", "/build-record", "/order"}
WHATS = {
    "/session/{number}/entry/{entry}/{what}": ["mend", "strike", "restore", "undo"],
    "/session/{number}/talk/{what}": ["strike", "back"],
    "/open/{item}/{what}": ["answer", "drop", "reopen"],
}
EXAMPLES = 15
ALLOWED = {200, 202, 303, 400, 404, 416, 422}
SHEET = "part,fastener,count,torque,unit,tolerance_percent\nhub,bolt,8,80,N*m,5\n"


def described(app):
    """The app's own description, with the forms that its routes read and small numbers beside any numbers, so that some of them hit."""
    raw = app.openapi()
    raw["paths"] = {path: ways for path, ways in raw["paths"].items() if path not in LEFT_OUT}
    for path, ways in raw["paths"].items():
        for way in ways.values():
            for parameter in way.get("parameters", []):
                if parameter["in"] == "path" and parameter["schema"].get("type") == "integer":
                    parameter["schema"] = {"anyOf": [{"type": "integer", "minimum": 1, "maximum": 4}, {"type": "integer"}]}
                if parameter["name"] == "what":
                    parameter["schema"] = {"anyOf": [{"enum": WHATS.get(path, ["words", "undo"])}, TEXT]}
        if "post" in ways:
            fields = dict.fromkeys(FORMS[path], TEXT)
            ways["post"]["requestBody"] = {"content": {"application/x-www-form-urlencoded": {"schema": {"type": "object", "properties": fields}}}}
    return raw


@pytest.mark.parametrize("mode", [GenerationMode.POSITIVE, GenerationMode.NEGATIVE])
def test_every_answer_to_a_script_is_said_and_none_is_a_crash(house, filled, opener, rules, mode):
    with opener() as record:
        record.put_sheet(name="hub.csv", text=SHEET, sheet=read_spec(SHEET.splitlines()))
        record.add_item(OpenItem(kind="todo", text="bleed the lines"))
        settle(record, filled, rules)
    app = make_app(house)
    schema = schemathesis.openapi.from_dict(described(app))
    schema.app = app
    seen = set()
    for operation in (found.ok() for found in schema.get_all_operations()):
        if mode is GenerationMode.NEGATIVE and not (operation.path_parameters or operation.query or operation.body):
            continue  # nothing of it can be wrong
        ask_at_random(operation, mode, seen)
    assert {200, 400, 404} <= seen if mode is GenerationMode.POSITIVE else {422} <= seen


def ask_at_random(operation, mode, seen):
    page = operation.path in PAGES or operation.path.endswith(".wav") or operation.path.endswith(("{picture}", "/small"))

    @settings(max_examples=EXAMPLES, deadline=None, phases=[Phase.generate], suppress_health_check=list(HealthCheck), database=None)
    @given(case=operation.as_strategy(mode))
    def ask(case):
        answer = case.call(base_url="http://127.0.0.1", headers=ORIGIN, allow_redirects=False)
        seen.add(answer.status_code)
        assert answer.status_code in ALLOWED, (operation.label, case.path_parameters, case.query, case.body, answer.text)
        assert "default-src 'none'" in answer.headers["content-security-policy"][0]
        if answer.status_code >= 400 and answer.status_code != 416:
            assert operation.path == "/spec/edit" or answer.json()["happened"]  # that form shows itself again, with what was typed
        elif not page and answer.status_code == 200:
            assert answer.json()["schema"] == 1

    ask()
