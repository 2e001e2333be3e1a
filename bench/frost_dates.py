"""Frost dates of a long daily record by pandas and numpy, without a bootstrap: the rival of the bench `frost_dates`.

    target/checks-venv/bin/python bench/frost_dates.py FILE.csv

Reads a CSV with `year,month,day,TMAX,TMIN` in °F, finds the last spring and first autumn minimum at or below five
thresholds, their 10, 50 and 90 % quantiles and the season between, and prints the best time of some repeats.
"""

import sys
import time

import numpy as np
import pandas as pd

THRESHOLDS_C = (2.2, 0.0, -2.2, -4.4, -6.7)
REPEATS = 5


def read(path):
    """Days as a frame: year, day of a 365-day year, minimum in tenths of °C."""
    frame = pd.read_csv(path, usecols=["year", "month", "day", "TMIN"])
    starts = np.array([0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334])
    day = frame["day"].where((frame["month"] != 2) | (frame["day"] != 29), 28)
    return pd.DataFrame(
        {
            "year": frame["year"],
            "of_year": starts[frame["month"] - 1] + day,
            "tenths": ((frame["TMIN"] - 32) / 0.18).round(),
        }
    )


def frost_dates(days, threshold_c):
    """Quantiles of the last event before 1 August, the first from then on, and the days between."""
    cold = days[days["tenths"] <= round(threshold_c * 10)]
    spring = cold["of_year"] < 213
    last = cold[spring].groupby("year")["of_year"].max()
    first = cold[~spring].groupby("year")["of_year"].min()
    between = (first - last - 1).dropna()
    return [np.quantile(x, (0.1, 0.5, 0.9)) for x in (last, first, between)]


def main():
    """Prints the dates and the times."""
    best_read = best_dates = float("inf")
    for _ in range(REPEATS):
        began = time.perf_counter()
        days = read(sys.argv[1])
        middle = time.perf_counter()
        answers = [frost_dates(days, t) for t in THRESHOLDS_C]
        best_read = min(best_read, middle - began)
        best_dates = min(best_dates, time.perf_counter() - middle)
    for threshold, (last, first, season) in zip(THRESHOLDS_C, answers, strict=True):
        print(f"{threshold:5} °C: last {last}, first {first}, season {season}")
    print(f"pandas: read {best_read * 1e3:.1f} ms, frost dates at five thresholds {best_dates * 1e3:.1f} ms (no bootstrap)")


if __name__ == "__main__":
    main()
