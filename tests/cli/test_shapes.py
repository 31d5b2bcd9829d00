"""All JSON that gudgeon writes is what ``gudgeon export --schema`` says, with no field left out of it; checked with the jsonschema library."""

import json

import pytest
from jsonschema import Draft202012Validator

PNG = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010802000000907753de0000000c4944415408d763f8cfc000000301010018dd8db00000000049454e44ae426082"
)


def wrong(value, schema, root):
    """Where a value breaks a schema of ``root``."""
    whole = {**schema, "$schema": root["$schema"], "$defs": root["$defs"]}
    return [f"{error.json_path}: {error.message}" for error in Draft202012Validator(whole).iter_errors(value)]


@pytest.fixture
def schema(gudgeon):
    return gudgeon("export", "--schema").json


@pytest.mark.parametrize(
    ("name", "arguments"),
    [
        ("taken", ("take", "n.txt")),
        ("taken", ("summary", "--why")),
        ("taken", ("note", "lid at 20")),
        ("hit", ("find", "lid")),
        ("hit", ("find", "badger")),
        ("job", ("job", "list")),
        ("job", ("job", "new", "sprayer")),
        ("open_item", ("open",)),
        ("open_item", ("answer", "1", "yes")),
        ("entry", ("fix", "1", "--part", "gearbox lid")),
        ("check", ("check",)),
    ],
)
def test_as_the_schema_says(gudgeon, schema, home, name, arguments):
    (home / "sheet.csv").write_text("part,torque,unit\nlid,18,N*m\n")
    (home / "n.txt").write_text("lid at 18\nis it twenty?\nthe badger sings\n")
    gudgeon("job", "new", "tractor")
    gudgeon("spec", "load", home / "sheet.csv")
    gudgeon("take", home / "n.txt")
    given = [home / word if word == "n.txt" else word for word in arguments]
    lines = gudgeon(*given, "--json").lines
    assert lines
    for line in lines:
        assert wrong(line, schema["$defs"][name], schema) == []
        assert wrong(line, {"anyOf": schema["anyOf"]}, schema) == []


def test_every_object_is_closed(schema):
    """A field that is not described is wrong everywhere but in a fact, whose fields go by its kind."""
    Draft202012Validator.check_schema(schema)
    open_ones = [name for name, shape in schema["$defs"].items() if shape.get("additionalProperties", True) is not False]
    assert open_ones == ["fact"]


def test_an_exported_record(gudgeon, schema, home):
    """Every kind of line comes up, with history, a picture there and one forgotten, and each is what the schema says of its kind."""
    from gudgeon.cli import wiring

    (home / "sheet.csv").write_text("part,torque,unit\nlid,18,N*m\n\npart,quantity,min,max,unit\nshaft,end float,0.1,0.2,mm\n")
    (home / "tools.csv").write_text("name,low,high,unit\nlong one,20,200,N*m\n")
    gudgeon("job", "new", "tractor")
    gudgeon("spec", "load", home / "sheet.csv")
    assert gudgeon("tools", "load", home / "tools.csv").status == 0
    gudgeon("note", "lid at 18")
    gudgeon("note", "is it twenty?")
    gudgeon("fix", 1, "--joint", "none")
    gudgeon("fix", 1, "--part", "gearbox lid")
    gudgeon("answer", 1, "yes")
    with wiring.open_record(None) as record:
        record.add_picture(2, PNG, "gone.png")
        record.forget_pictures()
        record.add_picture(1, PNG, "lid.png")
    lines = gudgeon("export").lines
    assert {line.get("kind", "header") for line in lines} == {"header", "job", "sheet", "tools", "learnt", "session", "picture", "item"}
    for line in lines:
        assert wrong(line, schema["$defs"][f"record_{line.get('kind', 'header')}"], schema) == []
        assert wrong(line, {"anyOf": schema["anyOf"]}, schema) == []


def test_what_is_wrong_is_found(schema):
    assert wrong({"schema": 2}, schema["$defs"]["job"], schema)
    assert wrong({"schema": 1, "id": True, "name": "x", "created": "x", "closed": None}, schema["$defs"]["job"], schema)
    assert wrong({"schema": 1, "id": 1, "name": "x", "created": "x", "closed": None, "more": 1}, schema["$defs"]["job"], schema)


def test_the_real_house_prints_it_too(gudgeon, schema, home, monkeypatch):
    """With the house's own reader and judge every kind of field comes up."""
    from gudgeon.cli import wiring

    monkeypatch.undo()
    monkeypatch.setenv("GUDGEON_SETTINGS", str(home / "none.toml"))
    from gudgeon import Record, take
    from gudgeon.cli import shapes

    (home / "n.txt").write_text(
        "eight gearbox lid bolts M8 grade 8.8 at twenty four newton metres plus sixty degrees with a 13 mm socket and blue thread locker\n"
        "I think the flywheel is about sixty five Nm\nthe exhaust stud is stripped\nend float point one five millimetres\n"
        "need to buy two sump gaskets\n"
        "drain plug tightened to forty\nis the water pump nine?\n"
    )
    with Record.open(home / "real", clock=wiring.clock) as record:
        taken = take(record, home / "n.txt")
        number = taken.session.id
        found = shapes.taken_json(
            taken.session, record.notes(number), record.entries(number), record.items_of_session(number), taken.timing, why=True
        )
    assert wrong(json.loads(json.dumps(found, default=str)), schema["$defs"]["taken"], schema) == []
    assert len(found["entries"]) >= 4 and len(found["open_items"]) >= 4
