"""Reads the tables printed by the microclimate crate and holds them against a reference, one line each."""

import json
import sys
from importlib.metadata import version

import numpy as np


def tables(subject):
    """The tables of one subject, from the JSON file named on the command line."""
    with open(sys.argv[1], encoding="utf-8") as file:
        return json.load(file)[subject]


def column(table, name):
    """One column of a table as numbers; a missing value is NaN."""
    return np.array(table[name], dtype=float)


def program(package):
    """A package with its version, to say where a number comes from."""
    return f"{package} {version(package)}"


class Report:
    """The comparisons of one subject; remembers whether any missed its tolerance."""

    def __init__(self, subject):
        self.subject = subject
        self.missed = 0

    def compare(self, quantity, ours, theirs, tolerance, unit, reference, reason):
        """Prints one line: the greatest |ours - theirs| must not pass the tolerance."""
        difference = np.abs(np.asarray(ours, dtype=float) - np.asarray(theirs, dtype=float))
        # A missing value on either side, or nothing to compare, is a miss too.
        greatest = np.max(difference) if difference.size else np.nan
        ok = bool(greatest <= tolerance)
        self.missed += not ok
        print(
            f"{self.subject} | {quantity} | n {difference.size} | greatest {greatest:.2g} {unit}"
            f" | tolerance {tolerance:g} {unit} | {reference} | {reason} | {'ok' if ok else 'MISSED'}"
        )

    def compare_percent(self, quantity, ours, theirs, tolerance, reference, reason):
        """The same in percent of theirs."""
        percent = 100.0 * np.asarray(ours, dtype=float) / np.asarray(theirs, dtype=float)
        self.compare(
            quantity, percent, np.full_like(percent, 100.0), tolerance, "%", reference, reason
        )

    def finish(self):
        """Ends the program; exit code 1 if anything missed."""
        sys.exit(1 if self.missed else 0)
