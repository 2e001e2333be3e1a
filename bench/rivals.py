"""The night of the Rust example `night` in numba and in numpy: bed-hours a second on one core, and the temperatures at its end.

Compilation is left out; the best of some repeats counts, and the number of members that suits each best. Rust computes in single
precision, the rivals in double. `bench/table.py` asks it.
"""

import sys
import time

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
