"""What commands print with --json is what ``gudgeon export --schema`` says, with no field left out of it."""

import json

import pytest

KINDS = {"string": str, "boolean": bool, "object": dict, "array": list, "null": type(None)}


def wrong(value, schema, root, where="$"):
    """Where a value breaks a schema: the keywords that this schema uses, and no others."""
    unknown = schema.keys() - {"$ref", "anyOf", "enum", "const", "type", "properties", "required", "items", "additionalProperties", "description"}
    assert not unknown - {"$schema", "title", "$defs"}, unknown
    if "$ref" in schema:
        return wrong(value, root["$defs"][schema["$ref"].rsplit("/", 1)[1]], root, where)
    if "anyOf" in schema:
        found = [wrong(value, option, root, where) for option in schema["anyOf"]]
        return [] if [] in found else [where, *found]
    if "enum" in schema or "const" in schema:
        return [] if value in schema.get("enum", [schema.get("const")]) else [f"{where}: {value!r}"]
    types = schema["type"] if isinstance(schema["type"], list) else [schema["type"]]
    if not any(fits(value, name) for name in types):
        return [f"{where}: {value!r} is no {types}"]
    told = []
    if isinstance(value, dict):
        told += [f"{where}: no {name}" for name in schema.get("required", ()) if name not in value]
        if not schema.get("additionalProperties", True):
            told += [f"{where}: {name} is not described" for name in value if name not in schema["properties"]]
        for name, inner in schema.get("properties", {}).items():
            told += wrong(value[name], inner, root, f"{where}.{name}") if name in value else []
    if isinstance(value, list) and "items" in schema:
        told += [text for at, item in enumerate(value) for text in wrong(item, schema["items"], root, f"{where}[{at}]")]
    return told


def fits(value, name):
    if name in ("number", "integer"):
        return isinstance(value, int if name == "integer" else (int, float)) and not isinstance(value, bool)
    return isinstance(value, KINDS[name])


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
