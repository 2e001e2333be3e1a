"""Runs a command to its end in a process that holds little itself: what a child counts as its memory begins with its parent's."""

import json
import subprocess
import sys

LEAN = """
import json, os, subprocess, sys, time
began = time.monotonic()
child = subprocess.Popen(sys.argv[1:], stdout=subprocess.DEVNULL)
_, status, used = os.wait4(child.pid, 0)
print(json.dumps([status, time.monotonic() - began, used.ru_maxrss / 1024]))
"""


def measured_run(*command):
    """Seconds and memory, MB; ends where the command fails."""
    lean = [sys.executable, "-I", "-S", "-c", LEAN, *map(str, command)]
    status, took, memory = json.loads(subprocess.run(lean, check=True, capture_output=True).stdout)
    if status:
        sys.exit(f"{' '.join(map(str, command[:2]))} ended with status {status}")
    return took, memory
