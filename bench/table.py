"""One table of everything that is measured: what, ours, the rival, the ratio, the machine's limit, the share of it that is reached.

    bench/run [RECORD.csv [GARDENS]]

Same answers first: the night's temperatures by Rust, numba and numpy, and the frost dates by pandas and Polars; exits with 1
where they differ. The best of some repeats counts. Whole commands are the demonstration garden's, 12 beds, with that record.
"""

import json
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

sys.dont_write_bytecode = True

import frost_dates  # noqa: E402
import gardens  # noqa: E402
import numpy as np  # noqa: E402
import rivals  # noqa: E402
from measured_run import measured_run  # noqa: E402

ROOT = Path(__file__).resolve().parents[1]
BUILT = ROOT / os.environ.get("CARGO_TARGET_DIR", "target") / "release"
YEARS = ["--record-years", "1991-2020"]
STEPS_AN_HOUR = 6


def example(name, *args):
    """What an example prints, as JSON."""
    return json.loads(subprocess.run([BUILT / "examples" / name, *args], check=True, capture_output=True).stdout)


def row(what, ours, rival="", ratio="", limit="", share=""):
    """Prints a line of the table."""
    print(f"| {what} | {ours} | {rival} | {ratio} | {limit} | {share} |", flush=True)


def nights():
    """The inner loop by Rust, numba and numpy; whether all found the same temperatures."""
    operations, same = example("operations"), True
    most = float(subprocess.run([ROOT / "target/peak"], check=True, capture_output=True).stdout)
    for told in example("night")["covers"]:
        name, ours = told["cover"], told["bed_hours_a_second"]
        layers = rivals.night.COVERS[name]
        asked = operations[name]
        limit = most / (STEPS_AN_HOUR * (asked["simple"] + asked["divisions"] + asked["roots"]))
        by_rust = np.array([told[k] for k in ("ground", "leaf", "air")])
        for rival, run, members in (
            ("numba", rivals.with_numba, rivals.NUMBA_MEMBERS),
            ("numpy", rivals.with_numpy, rivals.NUMPY_MEMBERS),
        ):
            speed, found = rivals.fastest(run, layers, members)
            same &= bool(np.abs(found - by_rust).max() <= rivals.LIMIT_K)
            row(
                f"bed-hours a second on one core, {name}", f"{ours / 1e6:.2f} million",
                f"{rival} {speed / 1e3:.0f} thousand", f"{ours / speed:.1f}", f"{limit / 1e6:.1f} million",
                f"{100 * ours / limit:.0f} %",
            )  # fmt: skip
    return same


def records(record):
    """A long daily record read and dated."""
    ours = example("records", record)
    for rival, (read_ms, dates_ms) in frost_dates.rivals(record).items():
        ratio = read_ms / ours["read_ms"]
        row("a daily record read", f"{ours['read_ms']:.1f} ms", f"{rival} {read_ms:.1f} ms", f"{ratio:.1f}")
        ratio = dates_ms / ours["dates_ms"]
        row("its frost dates at five thresholds", f"{ours['dates_ms']:.2f} ms", f"{rival} {dates_ms:.1f} ms", f"{ratio:.0f}")


def commands(record):
    """What people wait for, nothing kept from before; the least of three runs."""
    asked = [("demo", ["demo"], []), *(
        (verb, [verb], ["--station", record, *YEARS]) for verb in ("year", "replay", "kit")
    )]  # fmt: skip
    for name, verb, rest in asked:
        runs = []
        for _ in range(3):
            # A garden of its own, so that nothing is kept.
            with tempfile.TemporaryDirectory() as folder:
                garden = Path(folder) / "garden"
                shutil.copytree(ROOT / "demo/wisconsin", garden)
                runs.append(measured_run(BUILT / "rimefold", *verb, *([garden] if rest else []), *rest))
        row(f"`{name}`" + (", 30 years" if rest else ""), f"{min(r[0] for r in runs):.2f} s, {min(r[1] for r in runs):.0f} MB")


def main():
    """Prints the table; 1 where an answer differs."""
    row("what", "ours", "rival", "ratio", "machine's limit", "share of it")
    print("|---|---|---|--:|---|--:|")
    same = nights()
    record = sys.argv[1] if len(sys.argv) > 1 else ""
    if Path(record).is_file():
        records(record)
        commands(record)
    else:
        print(f"no record at {record or 'all'}: records and whole commands are left out", file=sys.stderr)
    told = gardens.told(int(sys.argv[2]) if len(sys.argv) > 2 else 1000)
    row("gardens planned and told an hour in one process", f"{told.an_hour:.0f}, {told.memory_mb:.0f} MB")
    print(f"\nvectors of {rivals.machine_bits()} bits, {os.cpu_count()} cores; the limit counts every operation of a step as a "
          "multiplication or an addition, not fused")
    print(f"temperatures: {'none differs' if same else 'MISSED, some differ'} by more than {rivals.LIMIT_K} K")
    return int(not same)


if __name__ == "__main__":
    sys.exit(main())
