"""How many gardens one process plans and tells an hour: copies of the demonstration garden, each with a name, a diary and
somebody of its own to tell. `python3 bench/gardens.py [GARDENS]` after `cargo build --release`; prints time and memory."""

import http.server
import os
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path

HERE = Path(__file__).resolve().parents[1]
PROGRAM = Path(os.environ.get("RIMEFOLD", HERE / "target/release/rimefold")).resolve()
GARDENS = int(sys.argv[1]) if len(sys.argv) > 1 else 200


class Receiver(http.server.BaseHTTPRequestHandler):
    came = 0

    def do_POST(self):
        self.rfile.read(int(self.headers["content-length"]))
        Receiver.came += 1
        self.send_response(204)
        self.end_headers()

    def log_message(self, *_):
        pass


def main():
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Receiver)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    tell = f'\n[[tell]]\nname = "Ann"\nby = "webhook"\nto = "http://127.0.0.1:{server.server_address[1]}/"\n'
    with tempfile.TemporaryDirectory() as folder:
        gardens = []
        for n in range(GARDENS):
            garden = Path(folder) / f"garden-{n}"
            shutil.copytree(HERE / "demo/wisconsin", garden)
            text = (garden / "garden.toml").read_text(encoding="utf-8")
            text = text.replace('name = "Ridge garden"', f'name = "garden {n}"', 1)
            (garden / "garden.toml").write_text(text + tell, encoding="utf-8")
            gardens.append(str(garden))
        begun = time.monotonic()
        run = [PROGRAM, "watch", "--once", "--at", "2027-05-14T15:00", *gardens]
        _, status, used = os.wait4(subprocess.Popen(run).pid, 0)
        took = time.monotonic() - begun
    assert status == 0, f"it ended with {os.waitstatus_to_exitcode(status)}"
    # The plan, and at most one look that upkeep asks for.
    assert GARDENS <= Receiver.came <= 2 * GARDENS, f"{Receiver.came} messages"
    memory = used.ru_maxrss / 1024
    print(f"{GARDENS} gardens of 12 beds, a plan and a message each: {took:.1f} s, {3600 * GARDENS / took:.0f} an hour, "
          f"{memory:.0f} MB on {os.cpu_count()} cores")


main()
