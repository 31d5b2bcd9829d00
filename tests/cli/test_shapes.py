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
        ("shown_job", ("job", "show", "tractor")),
        ("job", ("job", "close", "tractor")),
        ("open_item", ("drop", "1", "gone")),
        ("brief", ("brief",)),
        ("spec_loaded", ("spec", "load", "sheet.csv")),
        ("progress", ("spec", "progress")),
        ("tools_loaded", ("tools", "load", "tools.csv")),
        ("wrench", ("tools", "show")),
        ("forgotten", ("forget", "--all", "--yes", "--pictures")),
        ("backup", ("backup", "b.zip")),
        ("imported", ("import", "r.jsonl")),
        ("settings", ("settings",)),
        ("settings", ("settings", "mil", "thou")),
        ("calc_torque", ("calc", "torque", "--thread", "M10x1.5", "--grade", "8.8", "--mu", "0.12", "--why")),
        ("calc_preload", ("calc", "preload", "--torque", "48", "--unit", "N*m", "--thread", "M10x1.5", "--grade", "8.8")),
        ("calc_adapter", ("calc", "adapter", "--wanted", "100", "--unit", "N*m", "--length", "500", "--reach", "150")),
        ("calc_insert", ("calc", "insert", "--thread", "M8x1.25")),
        ("calc_convert", ("calc", "convert", "35", "lbf*ft", "N*m", "--why")),
    ],
)
def test_as_the_schema_says(gudgeon, schema, home, name, arguments):
    (home / "sheet.csv").write_text("part,torque,unit\nlid,18,N*m\nlid,much,N*m\n\npart,quantity,min,max,unit\nshaft,end float,0.1,0.2,mm\n")
    (home / "tools.csv").write_text("name,low,high,unit,length,last calibration\nlong one,20,200,N*m,500,2026-01-02\nbad one,x,y,N*m,,\n")
    (home / "n.txt").write_text("lid at 18\nis it twenty?\nthe badger sings\n")
    gudgeon("job", "new", "tractor")
    gudgeon("spec", "load", home / "sheet.csv")
    gudgeon("tools", "load", home / "tools.csv")
    gudgeon("take", home / "n.txt")
    (home / "r.jsonl").write_text(gudgeon("export").out)
    given = [home / word if word in ("sheet.csv", "tools.csv", "n.txt", "r.jsonl", "b.zip") else word for word in arguments]
    lines = gudgeon(*given, "--json").lines
    assert lines
    for line in lines:
        assert wrong(line, schema["$defs"][name], schema) == []
        assert wrong(line, {"anyOf": schema["anyOf"]}, schema) == []


def test_rows_of_a_sheet_one_a_line(gudgeon, schema, home):
    """Torque rows, then size rows; a column of the owner's own is in it."""
    (home / "sheet.csv").write_text("part,torque,unit,shelf\nlid,18,N*m,top\n\npart,quantity,min,max,unit\nshaft,end float,0.1,0.2,mm\n")
    gudgeon("job", "new", "tractor")
    gudgeon("spec", "load", home / "sheet.csv")
    torque, size = gudgeon("spec", "show", "--json").lines
    assert torque["extra"] == {"shelf": "top"}
    assert wrong(torque, schema["$defs"]["spec_torque"], schema) == wrong(size, schema["$defs"]["spec_size"], schema) == []


def test_a_backup_unpacked(gudgeon, schema, home):
    gudgeon("note", "lid at 18")
    gudgeon("backup", home / "b.zip")
    found = gudgeon("restore", home / "b.zip", "--record", home / "restored", "--json").json
    assert found["sessions"] == 1 and wrong(found, schema["$defs"]["restored"], schema) == []


def test_what_hears(gudgeon, schema):
    """Whatever recognisers are there: each with the same fields."""
    lines = gudgeon("ears", "--json").lines
    assert [wrong(line, schema["$defs"]["recogniser"], schema) for line in lines] == [[]] * len(lines)


def test_the_build_record(gudgeon, schema, home):
    """With a sheet, a change by hand, a question, something taken off, and talk that is nobody's business."""
    (home / "tractor sheet.csv").write_text("part,torque,unit\nlid,18,N*m\n")
    (home / "n.txt").write_text("lid at 18\nis it twenty?\nthe badger sings\ntook the badger off\n")
    gudgeon("job", "new", "tractor")
    gudgeon("spec", "load", home / "tractor sheet.csv")
    gudgeon("take", home / "n.txt")
    gudgeon("note", "shaft at 40")
    gudgeon("fix", 1, "--part", "gearbox lid", "--why", "it was that one")
    gudgeon("fix", 2, "--strike")
    found = json.loads(gudgeon("export", "--to", "build.json").out)
    assert wrong(found, schema["$defs"]["build_record"], schema) == []
    assert wrong(found, {"anyOf": schema["anyOf"]}, schema) == []
    assert [entry["part"] for entry in found["entries"]] == ["gearbox lid"], "what was struck is left out"
    assert [change["field"] for change in found["entries"][0]["changes"]] == ["part"]
    assert [note["text"] for note in found["notes"]] == ["lid at 18", "is it twenty?"], "other talk is left out"
    assert found["sessions"][0]["source"] == "n.txt", "no folder is told"


def test_the_order_of_putting_together(gudgeon, schema):
    gudgeon("job", "new", "tractor")
    gudgeon("note", "took the lid off")
    found = json.loads(gudgeon("export", "--to", "build.json", "--reverse").out)
    assert wrong(found, schema["$defs"]["putting_together"], schema) == []
    assert found["document"] == "putting together" and found["job"] == "tractor"


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
    from gudgeon.cli import build_shapes, documents, shapes

    (home / "n.txt").write_text(
        "eight gearbox lid bolts M8 grade 8.8 at twenty four newton metres plus sixty degrees with a 13 mm socket and blue thread locker\n"
        "I think the flywheel is about sixty five Nm\nthe exhaust stud is stripped\nend float point one five millimetres\n"
        "need to buy two sump gaskets\n"
        "drain plug tightened to forty\nis the water pump nine?\ntook off the fan belt cover\n"
    )
    with Record.open(home / "real", clock=wiring.clock) as record:
        taken = take(record, home / "n.txt")
        number = taken.session.id
        found = shapes.taken_json(
            taken.session, record.notes(number), record.entries(number), record.items_of_session(number), taken.timing, why=True
        )
        view = documents.view_of(record, None, documents.parts_of(record, None))
        built, back = build_shapes.build_json(view, record), build_shapes.steps_json(view)
    assert wrong(json.loads(json.dumps(built)), schema["$defs"]["build_record"], schema) == []
    assert wrong(json.loads(json.dumps(back)), schema["$defs"]["putting_together"], schema) == [] and len(back["steps"]) == 1
    assert wrong(json.loads(json.dumps(found, default=str)), schema["$defs"]["taken"], schema) == []
    assert len(found["entries"]) >= 4 and len(found["open_items"]) >= 4


@pytest.mark.parametrize("why", [False, True])
def test_what_is_read_without_a_record(schema, why, monkeypatch):
    """``gudgeon parse``: a note, and a session, as the house itself reads them."""
    from gudgeon.cli import parse, wiring

    monkeypatch.undo()
    texts = ["eight lid bolts M8 at twenty four newton metres plus sixty degrees", "end float point one five millimetres", "is it twenty?"]
    reader = wiring.reader()
    for text in texts:
        assert wrong(json.loads(json.dumps(parse._note_row(reader, text, why=why))), schema["$defs"]["parsed"], schema) == []
    session = json.loads(json.dumps(parse._session_row(reader, texts, why=why)))
    assert session["entries"] and wrong(session, schema["$defs"]["parsed_session"], schema) == []
