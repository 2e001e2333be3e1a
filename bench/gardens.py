"""How many gardens one process plans and tells an hour: invented gardens, each a part of the demonstration's beds in its own order,
on its own soil and site, with a name, a diary and somebody of its own to tell.

    python3 bench/gardens.py [GARDENS]

Build first: cargo build --release -p rimefold. Prints time, gardens an hour and memory. Python alone.
"""

import http.server
import os
import random
import re
import shutil
import sys
import tempfile
import threading
from dataclasses import dataclass
from pathlib import Path

from measured_run import measured_run

HERE = Path(__file__).resolve().parents[1]
PROGRAM = Path(os.environ.get("RIMEFOLD", HERE / "target/release/rimefold")).resolve()
BED = re.compile(r"^\[\[bed\]\]$", re.M)
STOCK = re.compile(r"^\[stock\]$", re.M)
SOILS = ("sand", "loam", "silt loam", "clay")
EXPOSURES = ("valley floor", "slope", "hilltop", "open", "walled")


class Receiver(http.server.BaseHTTPRequestHandler):
    came = 0

    def do_POST(self):
        self.rfile.read(int(self.headers["content-length"]))
        Receiver.came += 1
        self.send_response(204)
        self.end_headers()

    def log_message(self, *_):
        pass


@dataclass
class Told:
    """What a run came to."""

    beds: int
    took_s: float
    an_hour: float
    memory_mb: float


def invented(text, n, port, draw):
    """The demonstration's garden file with some of its beds, another site and another name; how many beds."""
    first, stock = BED.search(text).start(), STOCK.search(text).start()
    beds = ["[[bed]]" + bed for bed in text[first:stock].split("[[bed]]")[1:]]
    some = draw.sample(beds, draw.randint(3, len(beds)))
    head = text[:first].replace('name = "Ridge garden"', f'name = "garden {n}"', 1)
    head = re.sub(r'^soil = ".*"$', f'soil = "{draw.choice(SOILS)}"', head, flags=re.M)
    head = re.sub(r'^exposure = ".*"$', f'exposure = "{draw.choice(EXPOSURES)}"', head, flags=re.M)
    tell = f'\n[[tell]]\nname = "Ann"\nby = "webhook"\nto = "http://127.0.0.1:{port}/"\n'
    return head + "".join(some) + text[stock:] + tell, len(some)


def told(number):
    """Plans and tells so many gardens in one process."""
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Receiver)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    draw, beds = random.Random(1), 0
    with tempfile.TemporaryDirectory() as folder:
        gardens = []
        for n in range(number):
            garden = Path(folder) / f"garden-{n}"
            shutil.copytree(HERE / "demo/wisconsin", garden)
            file = garden / "garden.toml"
            text, count = invented(file.read_text(encoding="utf-8"), n, server.server_address[1], draw)
            file.write_text(text, encoding="utf-8")
            gardens.append(str(garden))
            beds += count
        took, memory = measured_run(PROGRAM, "watch", "--once", "--at", "2027-05-14T15:00", *gardens)
    server.shutdown()
    # The plan, and at most one look that upkeep asks for.
    if not number <= Receiver.came <= 2 * number:
        sys.exit(f"{Receiver.came} messages for {number} gardens")
    return Told(beds, took, 3600 * number / took, memory)


def main():
    number = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    it = told(number)
    print(f"{number} gardens, {it.beds} beds, a plan and a message each: {it.took_s:.1f} s, {it.an_hour:.0f} an hour, "
          f"{it.memory_mb:.0f} MB on {os.cpu_count()} cores")


if __name__ == "__main__":
    main()
