"""Holds the model in Rust against the slow second model of this folder, hour by hour.

    cargo run -p microclimate --example five_days -- checks/second/scenarios.json 30 > fine.json
    cargo run -p microclimate --example five_days -- checks/second/scenarios.json 600 > ten_minutes.json
    python checks/second/compare.py fine.json ten_minutes.json

Needs numpy and scipy; takes about a minute. Prints the greatest difference of each temperature over
all whole hours of five days, nights and days apart, and the hour it occurs at. With steps of half a
minute every temperature must stay within 0.1 K at all hours: the equations are the same. With the ten
minutes that the program takes the coldest leaf of every night must: backward Euler lags where sun
and air change fastest, by what the table shows. Exits with 1 where one does not.
"""

import argparse
import json
import sys
from multiprocessing import Pool
from pathlib import Path

sys.dont_write_bytecode = True

import numpy as np  # noqa: E402
from bed_model import BedModel  # noqa: E402

LIMIT_K = 0.1
SCENARIOS = Path(__file__).parent / "scenarios.json"
KEPT_HOURS = [24 * day + hour for day in range(1, 5) for hour in (5, 14)]
COLUMNS = ("ground", "leaf", "air", "cover in", "cover out", "soil 2 cm", "soil 10 cm")


def merged(under, over):
    """`over` laid on `under`, name by name."""
    if isinstance(under, dict) and isinstance(over, dict):
        return {**under, **{k: merged(under.get(k), v) for k, v in over.items()}}
    return over


def at_depth(depth_m, depths_m, temperatures):
    """Temperature at a depth of soil, between the middles of the cells around it; mulch left out."""
    soil = [(d, t) for d, t in zip(depths_m, temperatures) if d]
    return float(np.interp(depth_m, [d for d, _ in soil], [t for _, t in soil]))


def seven_temperatures(hour, depths_m, nodes):
    """The temperatures that are compared, None where there is no such face."""
    return (
        hour["ground"], hour["leaf"], hour["air"],
        hour["inner"] if nodes > 0 else None,
        hour["outer"] if nodes > 1 else None,
        at_depth(0.02, depths_m, hour["soil"]),
        at_depth(0.10, depths_m, hour["soil"]),
    )


def second_model(job):
    """Course of the second model: one row of temperatures an hour."""
    scenario, days = job
    model = BedModel(scenario)
    depths = [cell.depth_m for cell in model.column]
    nodes = 2 if model.two_nodes else int(bool(model.cover))
    return nodes, [seven_temperatures(h, depths, nodes) for h in model.run(days)]


def is_night(hour):
    """Whether the invented sun is down."""
    return not 6 < hour % 24 < 18


def differences(first, second, hours):
    """Greatest |difference| of each column over `hours`, and its hour: (K, h) or None."""
    worst = []
    for a, b in zip(zip(*first), zip(*second)):
        absent = a[0] is None
        worst.append(None if absent else max((abs(a[h] - b[h]), h) for h in hours))
    return worst


def told(worst):
    """One cell of the table."""
    return "-" if worst is None else f"{worst[0]:.3f} @{worst[1]:3d}"


def main():
    """Prints the table; 1 where a temperature is missed."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("rust_json", type=Path, nargs="*")
    parser.add_argument("--write", type=Path, help="keep the second model's temperatures for the tests")
    arguments = parser.parse_args()
    file = json.loads(SCENARIOS.read_text())
    jobs = [(merged(file["defaults"], s), file["days"]) for s in file["scenarios"]]
    with Pool(2) as pool:
        courses = pool.map(second_model, jobs, chunksize=1)

    if arguments.write:
        arguments.write.write_text(answers(jobs, courses))
    missed = False
    for path in arguments.rust_json:
        missed |= table(json.loads(path.read_text()), jobs, courses)
    return int(missed)


def answers(jobs, courses):
    """The second model's temperatures late every night and early every afternoon, as JSON a line each."""
    lines = []
    for (scenario, _), (_, course) in zip(jobs, courses):
        for hour in KEPT_HOURS:
            values = [None if t is None else round(t, 3) for t in course[hour]]
            lines.append(json.dumps({"name": scenario["name"], "hour": hour, "c": values}))
    return "[\n" + ",\n".join(lines) + "\n]\n"


def table(rust, jobs, courses):
    """Prints the differences of one run; whether something is missed."""
    fine = rust["step_s"] <= 60.0
    print(f"Greatest difference, K @ hour; steps of {rust['step_s']:.0f} s against continuous time")
    print(f"{'scenario':27}" + "".join(f"{c:>13}" for c in COLUMNS) + "  coldest leaf")
    missed = False
    for (scenario, _), (nodes, course), ours in zip(jobs, courses, rust["scenarios"], strict=True):
        if ours["name"] != scenario["name"]:
            raise SystemExit(f"{ours['name']} is not {scenario['name']}: another scenario file")
        rows = [seven_temperatures(h, ours["depths_m"], nodes) for h in ours["hours"]]
        for when in ("night", "day"):
            hours = [h for h in range(len(course)) if is_night(h) == (when == "night")]
            worst = differences(rows, course, hours)
            cells = "".join(f"{told(w):>13}" for w in worst)
            coldest = coldest_leaf(rows, course) if when == "night" else None
            if fine:
                bad = not all(w is None or w[0] <= LIMIT_K for w in worst)
            else:
                bad = coldest is not None and coldest > LIMIT_K
            missed |= bad
            least = "" if coldest is None else f"{coldest:13.3f}"
            verdict = "MISSED" if bad else "ok" if fine or coldest is not None else ""
            print(f"{scenario['name']:21} {when:5}{cells}{least}  {verdict}")
    return missed


def coldest_leaf(first, second):
    """Greatest difference between the coldest leaves of each whole night, K."""
    nights = [range(18 + 24 * n, 31 + 24 * n) for n in range(len(first) // 24 - 1)]
    low = lambda rows, night: min(rows[h][1] for h in night)  # noqa: E731
    return max(abs(low(first, night) - low(second, night)) for night in nights)


if __name__ == "__main__":
    sys.exit(main())
