"""What others made of what is in the program: their licences as text, and a bill of materials (CycloneDX 1.5).

packaging/musl packaging/inventory.py FOLDER writes FOLDER/third-party-licences.txt and FOLDER/sbom.cdx.json. Asks nothing of
the network. A crate whose licence we cannot show is an error.
"""

import datetime
import json
import os
import pathlib
import re
import subprocess
import sys
import tomllib
import uuid
from collections import defaultdict

ROOT = pathlib.Path(__file__).resolve().parent.parent
LICENCE_FILE = re.compile(r"(licen[cs]e|copying|unlicense|notice|copyright)", re.IGNORECASE)


def cargo(*words):
    """What cargo says about the program."""
    command = [*os.environ["CARGO"].split(), *words, "--locked", "--offline"]
    return subprocess.run(command, cwd=ROOT, check=True, stdout=subprocess.PIPE, text=True).stdout


def tree(kinds):
    """Name and version of the crates that edges of these kinds reach."""
    lines = cargo(
        "tree", "-p", "rimefold", "--target", os.environ["TARGET"], "-e", kinds, "--prefix", "none", "--format", "{p}"
    )
    return {re.match(r"(\S+) v(\S+)", line).groups() for line in lines.splitlines() if line}


def licence_texts(package):
    """Names and texts of the licence files that a crate ships."""
    folder = pathlib.Path(package["manifest_path"]).parent
    files = sorted(f for f in folder.iterdir() if LICENCE_FILE.match(f.name))
    files = [f for found in files for f in (sorted(found.iterdir()) if found.is_dir() else [found]) if f.is_file()]
    if not files and "Apache-2.0" in package["license"]:
        files = [ROOT / "LICENSE-APACHE"]
    return [readable(f) for f in files]


def readable(path):
    """A text without markup and without blanks at the ends of lines."""
    text = pathlib.Path(path).read_text(encoding="utf-8", errors="replace")
    if str(path).endswith(".html"):
        text = re.sub(r"<[^>]*>", "", text)
    return "\n".join(line.rstrip() for line in text.strip().splitlines())


def beside_crates(packages):
    """What is in the program beside crates, each with name, version, licence and text."""
    for line in os.environ["BESIDE_CRATES"].splitlines():
        name, version, licence, path = line.split("|")
        yield name, version, licence, readable(path)
    sqlite = next(p for p in packages if p["name"] == "libsqlite3-sys")
    source = pathlib.Path(sqlite["manifest_path"]).parent / "sqlite3" / "sqlite3.h"
    words = source.read_text(encoding="utf-8")
    version = re.search(r'#define SQLITE_VERSION +"([^"]+)"', words).group(1)
    yield "sqlite", version, "blessing", re.search(r"/\*\n(.*?)\n\*{10}", words, re.DOTALL).group(1)
    towns = ROOT / "crates/rimefold/src/answers/towns/README.md"
    yield "towns", "list", "CC-BY-4.0", readable(towns)


def write_licences(path, shown):
    """Every text once, under the names of all that it holds for."""
    holders = defaultdict(list)
    for name, version, licence, texts in shown:
        if not texts:
            sys.exit(f"packaging: {name} {version} ({licence}) ships no licence that we could show")
        for text in texts:
            holders[text].append(f"{name} {version} ({licence})")
    with path.open("w", encoding="utf-8") as out:
        out.write("Rimefold is built with what others made. These are their licences.\n")
        for text, names in sorted(holders.items(), key=lambda item: item[1]):
            out.write(f"\n{'=' * 78}\n{chr(10).join(names)}\n{'-' * 78}\n{text}\n")


def expression(licence):
    """An SPDX expression; the old slash means a choice."""
    return licence.replace("/", " OR ")


def write_bill(path, crates, shipped, beside, edges):
    """The bill of materials; what is only needed to build has the scope "excluded"."""
    checksums = {
        (p["name"], p["version"]): p.get("checksum")
        for p in tomllib.loads((ROOT / "Cargo.lock").read_text(encoding="utf-8"))["package"]
    }
    components = []
    for crate in crates:
        key = (crate["name"], crate["version"])
        component = {
            "type": "library",
            "bom-ref": reference(key),
            "name": key[0],
            "version": key[1],
            "scope": "required" if key in shipped else "excluded",
            "licenses": [{"expression": expression(crate["license"])}],
        }
        if checksums[key]:
            component["hashes"] = [{"alg": "SHA-256", "content": checksums[key]}]
            component["purl"] = reference(key)
        components.append(component)
    for name, version, licence, _ in beside:
        kind = "data" if name == "towns" else "library"
        licences = [{"license": {"id": licence}}] if " " not in licence else [{"expression": licence}]
        components.append(
            {"type": kind, "bom-ref": f"beside:{name}", "name": name, "version": version, "licenses": licences}
        )
    own = next(c for c in components if c["name"] == "rimefold")
    components.remove(own)
    del own["scope"]
    edges[own["bom-ref"]] |= {f"beside:{name}" for name, *_ in beside}
    when = datetime.datetime.fromtimestamp(int(os.environ["SOURCE_DATE_EPOCH"]), datetime.timezone.utc)
    bill = {
        "bomFormat": "CycloneDX",
        "specVersion": "1.5",
        "serialNumber": f"urn:uuid:{uuid.uuid5(uuid.NAMESPACE_OID, json.dumps(components) + when.isoformat())}",
        "version": 1,
        "metadata": {
            "timestamp": when.isoformat().replace("+00:00", "Z"),
            "component": own | {"type": "application"},
            "properties": [
                {"name": "rimefold:compiler", "value": os.environ["COMPILER"]},
                {"name": "rimefold:target", "value": os.environ["TARGET"]},
            ],
        },
        "components": components,
        "dependencies": [{"ref": ref, "dependsOn": sorted(to)} for ref, to in sorted(edges.items())],
    }
    path.write_text(json.dumps(bill, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


def reference(key):
    """The package URL of a crate."""
    return f"pkg:cargo/{key[0]}@{key[1].replace('+', '%2B')}"


def main(folder):
    shipped = tree("normal,no-proc-macro")
    wanted = shipped | tree("normal,build")
    metadata = json.loads(cargo("metadata", "--format-version", "1", "--filter-platform", os.environ["TARGET"]))
    crates = [p for p in metadata["packages"] if (p["name"], p["version"]) in wanted]
    assert len(crates) == len(wanted), "cargo tree and cargo metadata differ"
    keys = {p["id"]: (p["name"], p["version"]) for p in crates}
    edges = {
        reference(keys[node["id"]]): {
            reference(keys[d["pkg"]])
            for d in node["deps"]
            if d["pkg"] in keys and any(kind["kind"] != "dev" for kind in d["dep_kinds"])
        }
        for node in metadata["resolve"]["nodes"]
        if node["id"] in keys
    }
    beside = list(beside_crates(metadata["packages"]))
    of_others = [c for c in crates if c["source"]]
    shown = [(c["name"], c["version"], expression(c["license"]), licence_texts(c)) for c in of_others]
    shown += [(name, version, licence, [text]) for name, version, licence, text in beside]
    write_licences(folder / "third-party-licences.txt", shown)
    write_bill(folder / "sbom.cdx.json", crates, shipped, beside, edges)
    print(f"packaging: {len(of_others)} crates of others, {len(beside)} things beside them", file=sys.stderr)


main(pathlib.Path(sys.argv[1]))
