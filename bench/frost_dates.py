"""Frost dates of a long daily record by pandas and by Polars, without a bootstrap: the rivals of the example `records`.

Reads a CSV with `year,month,day,TMAX,TMIN` in °F, finds the last spring and first autumn minimum at or below five
thresholds, their 10, 50 and 90 % quantiles and the season between. Both must say the same. `bench/table.py` asks it.
"""

import time

import numpy as np
import pandas as pd
import polars as pl

THRESHOLDS_C = (2.2, 0.0, -2.2, -4.4, -6.7)
QUANTILES = (0.1, 0.5, 0.9)
STARTS = np.array([0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334])
REPEATS = 20


def read_pandas(path):
    """Days as a frame: year, day of a 365-day year, minimum in tenths of °C."""
    frame = pd.read_csv(path, usecols=["year", "month", "day", "TMIN"])
    day = frame["day"].where((frame["month"] != 2) | (frame["day"] != 29), 28)
    tenths = ((frame["TMIN"] - 32) / 0.18).round()
    return pd.DataFrame({"year": frame["year"], "of_year": STARTS[frame["month"] - 1] + day, "tenths": tenths})


def dates_pandas(days, threshold_c):
    """Quantiles of the last event before 1 August, the first from then on, and the days between."""
    cold = days[days["tenths"] <= round(threshold_c * 10)]
    spring = cold["of_year"] < 213
    last = cold[spring].groupby("year")["of_year"].max()
    first = cold[~spring].groupby("year")["of_year"].min()
    between = (first - last - 1).dropna()
    return [np.quantile(x, QUANTILES) for x in (last, first, between)]


def read_polars(path):
    """The same by Polars."""
    leap = (pl.col("month") == 2) & (pl.col("day") == 29)
    day = pl.when(leap).then(28).otherwise(pl.col("day"))
    start = pl.col("month").replace_strict(dict(enumerate(STARTS.tolist(), 1)), return_dtype=pl.Int64)
    tenths = ((pl.col("TMIN") - 32) / 0.18).round()
    wanted = pl.scan_csv(path).select("year", of_year=start + day, tenths=tenths)
    return wanted.collect()


def dates_polars(days, threshold_c):
    """The same by Polars."""
    by_year = (
        days.lazy()
        .filter(pl.col("tenths") <= round(threshold_c * 10))
        .group_by("year")
        .agg(
            last=pl.col("of_year").filter(pl.col("of_year") < 213).max(),
            first=pl.col("of_year").filter(pl.col("of_year") >= 213).min(),
        )
        .with_columns(between=pl.col("first") - pl.col("last") - 1)
    )
    columns = ("last", "first", "between")
    asked = [pl.col(c).quantile(q, "linear").alias(f"{c}{q}") for c in columns for q in QUANTILES]
    row = by_year.select(asked).collect().row(0)
    return np.array(row, dtype=float).reshape(3, 3)


def best(run):
    """What it says and the least time of some runs, ms."""
    said, least = None, float("inf")
    for _ in range(REPEATS):
        began = time.perf_counter()
        said = run()
        least = min(least, time.perf_counter() - began)
    return said, least * 1e3


def rivals(path):
    """By library: ms to read, ms for the dates at five thresholds."""
    times, said = {}, []
    for name, read, dates in (("pandas", read_pandas, dates_pandas), ("Polars", read_polars, dates_polars)):
        days, read_ms = best(lambda read=read: read(path))
        all_dates, dates_ms = best(lambda dates=dates, days=days: [dates(days, t) for t in THRESHOLDS_C])
        times[name] = (read_ms, dates_ms)
        said.append(all_dates)
    if not np.allclose(np.array(said[0]), np.array(said[1])):
        raise ArithmeticError("pandas and Polars find other dates")
    return times
