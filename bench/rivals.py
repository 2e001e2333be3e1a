"""Holds the night of the Rust example `night` against the same night in numba and in numpy: same temperatures first,
then bed-hours a second on one core.

    bench/run

Argument: what the example printed. Compilation is left out; the best of some repeats counts, and for numba and numpy
the number of members that suits them best. Exits with 1 where a final temperature of ground, leaf or air of any of
the sixteen members differs by more than a thousandth of a kelvin (Rust in single precision, the rivals in double).
"""

import json
import sys
import time
from pathlib import Path

sys.dont_write_bytecode = True

import llvmlite.binding as llvm  # noqa: E402
import model_numba  # noqa: E402
import model_numpy  # noqa: E402
import night  # noqa: E402
import numpy as np  # noqa: E402
import soil  # noqa: E402

LIMIT_K = 0.001
REPEATS = 5
START_C, START_KPA = 9.0, 0.6
NUMBA_MEMBERS = (512, 2048)
NUMPY_MEMBERS = (1024, 2048, 4096)


def with_numba(layers, members):
    """Bed-hours a second; final ground, leaf and air of the first sixteen members."""
    cover = night.cover(layers)
    profile = night.profile(night.BED, cover)
    forcing, draws, column = model_numba.packed(
        night.forcing(members), night.draws(members), night.column(members)
    )
    workspace = np.zeros(model_numba.DESK)

    def run():
        nodes = np.full((members, 6), START_C)
        nodes[:, 3] = START_KPA
        water = np.zeros((members, 2))
        earth, ice = np.full((members, soil.CELLS), START_C), np.zeros((members, soil.CELLS))
        began = time.perf_counter()
        residual = model_numba.night(
            night.BED, cover, profile, (0,) * layers, draws, column, forcing, nodes, water, earth, ice, workspace
        )
        took = time.perf_counter() - began
        if not np.isfinite(residual):
            raise ArithmeticError("numba: the budget of a step is open")
        return took, nodes[: night.LANES, [0, 1, 2]].T

    return best(run, members)


def with_numpy(layers, members):
    """The same by numpy."""
    cover = night.cover(layers)
    site = model_numpy.site_of(
        night.BED, cover, night.profile(night.BED, cover), layers, night.draws(members),
        night.column(members),
    )  # fmt: skip
    forcing = night.forcing(members)

    def run():
        state = model_numpy.resting(layers, members, START_C, START_KPA, START_C, soil.CELLS)
        began = time.perf_counter()
        for force in forcing:
            state, _ = model_numpy.step(site, force, state)
        took = time.perf_counter() - began
        return took, np.array([*state.face[:2], state.air])[:, : night.LANES]

    return best(run, members)


def best(run, members):
    """The fastest of some runs after one that compiles: bed-hours a second, and the temperatures."""
    run()
    runs = [run() for _ in range(REPEATS)]
    return members * night.BED_HOURS / min(took for took, _ in runs), runs[0][1]


def fastest(rival, layers, choices):
    """The rival with the number of members that suits it best."""
    return max((rival(layers, members) for members in choices), key=lambda r: r[0])


def machine_bits():
    """Widest vectors of this processor that LLVM knows of."""
    has = llvm.get_host_cpu_features()
    return 512 if has.get("avx512f") else 256 if has.get("avx") else 128


def main():
    """Prints the table; 1 where a temperature differs."""
    told = json.loads(Path(sys.argv[1]).read_text())
    print("bed-hours a second on one core; nights of 16 hours in steps of 10 minutes, the best of some repeats")
    print(
        f"{'cover':14} | {'Rust':>9} | {'numba':>8} | {'numpy':>8} | Rust/numba | Rust/numpy |"
        " greatest difference, K"
    )
    missed = False
    for ours in told["covers"]:
        layers = night.COVERS[ours["cover"]]
        rust = ours["bed_hours_a_second"]
        numba, by_numba = fastest(with_numba, layers, NUMBA_MEMBERS)
        numpy, by_numpy = fastest(with_numpy, layers, NUMPY_MEMBERS)
        by_rust = np.array([ours[k] for k in ("ground", "leaf", "air")])
        off = [float(np.abs(x - by_rust).max()) for x in (by_numba, by_numpy)]
        missed |= not max(off) <= LIMIT_K
        print(
            f"{ours['cover']:14} | {rust:9,.0f} | {numba:8,.0f} | {numpy:8,.0f} | {rust / numba:10.2f} |"
            f" {rust / numpy:10.2f} | numba {off[0]:.0e}, numpy {off[1]:.0e}"
        )
    print(
        f"vectors: this machine has {machine_bits()} bits; Rust and numpy choose when they run,"
        f" numba compiles for this processor ({llvm.get_host_cpu_name()})"
    )
    print(f"temperatures: {'MISSED, some differ by' if missed else 'none differs by'} more than {LIMIT_K} K")
    return int(missed)


if __name__ == "__main__":
    sys.exit(main())
