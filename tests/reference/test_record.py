"""The files of a whole job, read by programs that share nothing with the one that wrote them.

The job is the scripted one of the demo. Schema: `jsonschema`. Signatures: `cryptography`. Canonical form: Python's own
`json`, which for text, whole numbers and ASCII names writes what RFC 8785 asks for. CSV: Python's own `csv`.
"""

import csv
import hashlib
import io
import json
import os
import subprocess
from pathlib import Path

import pytest
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
from jsonschema import Draft202012Validator

SCHEMAS = Path(__file__).parents[2] / "docs" / "schema"


@pytest.fixture(scope="module")
def job(tmp_path_factory):
    """The folder of a job that was worked, signed and exported."""
    binary = os.environ.get("TURNWISE_BIN")
    if not binary:
        pytest.fail("TURNWISE_BIN does not name the turnwise binary")
    folder = tmp_path_factory.mktemp("job") / "kept"
    run = subprocess.run(
        [os.path.abspath(binary), "demo", "--once", "--keep", str(folder)], capture_output=True, text=True
    )
    assert run.returncode == 0, run.stderr
    return folder


@pytest.fixture(scope="module")
def export(job):
    return json.loads((job / "export.json").read_text(encoding="utf-8"))


def validator(name):
    schema = json.loads((SCHEMAS / name).read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema, format_checker=Draft202012Validator.FORMAT_CHECKER)


def canonical(value):
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()


def test_a_real_record_and_its_export_hold_to_the_published_schemas(export, compared):
    for name, value in [("record-2", export["record"]), ("export-1", export)]:
        errors = [f"{error.json_path}: {error.message}" for error in validator(f"turnwise-{name}.schema.json").iter_errors(value)]
        assert errors == []
        compared(len(export["record"]["entries"]))


def test_the_schema_refuses_a_record_with_something_more_less_or_of_another_kind(export, compared):
    check = validator("turnwise-record-2.schema.json")
    record = export["record"]
    for name in record:
        assert not check.is_valid({key: value for key, value in record.items() if key != name}), name
        compared()
    assert not check.is_valid({**record, "more": ""})
    changed = json.loads(json.dumps(record))
    figure = changed["valves"][0]["readings"][0]["figure"]
    for wrong in [{"digits": 55}, {"unit": "furlong"}, {"note": ""}]:
        changed["valves"][0]["readings"][0]["figure"] = {**figure, **wrong}
        assert not check.is_valid(changed), wrong
        compared()


def test_the_digest_and_the_signatures_hold_for_another_implementation(export, compared):
    digest = hashlib.sha256(canonical(export["record"])).hexdigest()
    assert export["signatures"]
    for signature in export["signatures"]:
        assert signature["digest"] == digest
        lines = [
            "turnwise record signature 1", f"job {signature['job']}", f"revision {signature['revision']}",
            f"digest {digest}", f"heads {' '.join(signature['heads'])}", f"by {signature['by']}", f"at {signature['at']}",
        ]
        message = "".join(f"{line}\n" for line in lines).encode()
        key = Ed25519PublicKey.from_public_bytes(bytes.fromhex(signature["key"]))
        key.verify(bytes.fromhex(signature["signature"]), message)
        with pytest.raises(InvalidSignature):
            key.verify(bytes.fromhex(signature["signature"]), message.replace(b"revision 1", b"revision 2"))
        compared()


def test_the_seal_holds_for_another_implementation(export, compared):
    seal = export["seal"]
    digest = hashlib.sha256(canonical({name: value for name, value in export.items() if name != "seal"})).hexdigest()
    message = f"turnwise export seal 1\ndigest {digest}\ndevice {seal['device']}\nat {seal['at']}\n".encode()
    Ed25519PublicKey.from_public_bytes(bytes.fromhex(seal["key"])).verify(bytes.fromhex(seal["signature"]), message)
    compared()


def test_the_table_is_rectangular_and_has_every_figure_as_it_was_read(job, export, compared):
    raw = (job / "export.csv").read_bytes()
    assert raw.startswith(b"\xef\xbb\xbf") and raw.endswith(b"\r\n")
    header, *rows = csv.reader(io.StringIO(raw.decode("utf-8-sig"), newline=""), strict=True)
    assert len(rows) == len(export["record"]["entries"])
    read = {}
    for row in rows:
        assert len(row) == len(header)
        for name, cell in zip(header, row):
            number = name in ("Number", "As read", "Turns in all") and cell.lstrip("-").replace(".", "", 1).isdigit()
            assert number or cell[:1] not in ("=", "+", "-", "@", "\t", "\r"), (name, cell)
        read[row[header.index("Entry")].lstrip("'")] = row
    for entry in export["record"]["entries"]:
        figure = entry["body"].get("figure")
        if figure:
            row = read[entry["id"]]
            assert row[header.index("As read")] == figure["digits"]
            assert row[header.index("Unit")] == figure["unit"]
            assert float(row[header.index("Number")]) == float(figure["digits"])
            compared()
