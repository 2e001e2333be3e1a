"""Holds a bill of materials against its schema, and against the licences and Cargo.lock that go with it.

packaging/bill_check.py SBOM LICENCES ends with 1 and says why if something is wrong or if a spoiled bill is not refused.
"""

import copy
import json
import pathlib
import sys
import tomllib

from cyclonedx.schema import SchemaVersion
from cyclonedx.validation.json import JsonStrictValidator

ROOT = pathlib.Path(__file__).resolve().parent.parent


def faults(bill, licences, locked):
    """What is wrong with a bill."""
    wrong = JsonStrictValidator(SchemaVersion.V1_5).validate_str(json.dumps(bill))
    if wrong:
        yield f"not as the schema says: {wrong}"
    components = bill["components"]
    refs = {c["bom-ref"] for c in components} | {bill["metadata"]["component"]["bom-ref"]}
    if len(refs) != len(components) + 1:
        yield "two components have one reference"
    named = {to for entry in bill["dependencies"] for to in [entry["ref"], *entry.get("dependsOn", [])]}
    yield from (f"{ref} is no component" for ref in named - refs)
    reached, ahead = set(), [bill["metadata"]["component"]["bom-ref"]]
    needs = {entry["ref"]: entry.get("dependsOn", []) for entry in bill["dependencies"]}
    while ahead:
        if (ref := ahead.pop()) not in reached:
            reached.add(ref)
            ahead += needs.get(ref, [])
    yield from (f"{ref} hangs on nothing" for ref in refs - reached)
    for component in components:
        name, version = component["name"], component["version"]
        if "purl" in component:
            if component["hashes"][0]["content"] != locked.get((name, version)):
                yield f"{name} {version} is not what Cargo.lock names"
        elif component["bom-ref"].startswith("pkg:"):
            continue  # a crate of ours
        if f"\n{name} {version} (" not in licences:
            yield f"{name} {version} has no licence text"


def spoiled(bill):
    """Bills that must be refused."""
    for spoil in [
        lambda b: b.pop("bomFormat"),
        lambda b: b["components"].pop(),
        lambda b: b["components"].append(b["components"][0]),
        lambda b: next(c for c in b["components"] if "purl" in c)["hashes"][0].update(content="0" * 64),
        lambda b: b["components"][-1].update(version="none"),
        lambda b: b["dependencies"].clear(),
    ]:
        other = copy.deepcopy(bill)
        spoil(other)
        yield other


def main(bill, licences):
    bill = json.loads(pathlib.Path(bill).read_text(encoding="utf-8"))
    licences = pathlib.Path(licences).read_text(encoding="utf-8")
    lock = tomllib.loads((ROOT / "Cargo.lock").read_text(encoding="utf-8"))
    locked = {(p["name"], p["version"]): p.get("checksum") for p in lock["package"]}
    found = list(faults(bill, licences, locked))
    missed = [n for n, other in enumerate(spoiled(bill), 1) if not list(faults(other, licences, locked))]
    print(*found, *(f"spoiled bill {n} was not refused" for n in missed), sep="\n", file=sys.stderr)
    print(f"packaging: {len(bill['components'])} components")
    sys.exit(bool(found or missed))


main(*sys.argv[1:])
