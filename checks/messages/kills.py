"""Kills the program at random points while it tells people, starts it again, and counts what arrived: every message once in the
diary, none lost, none under two names. `kills.py PROGRAM [KILLS] [SEED]`; checks/run kills a few, by hand a thousand."""

import http.server
import json
import random
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from pathlib import Path

PROGRAM = Path(sys.argv[1]).resolve()
KILLS = int(sys.argv[2]) if len(sys.argv) > 2 else 40
SEED = int(sys.argv[3]) if len(sys.argv) > 3 else 1
DEMO = Path(__file__).resolve().parents[2] / "demo" / "wisconsin"
# An evening on which eight beds must be covered.
AT = "2027-05-14T15:00"
# A plan takes half a second to two, then its message is kept and sent.
LONGEST_S = 3.0


class Receiver(http.server.BaseHTTPRequestHandler):
    came = []

    def do_POST(self):
        body = json.loads(self.rfile.read(int(self.headers["content-length"])))
        # Some answers are slow, so that death comes between sending and noting too.
        time.sleep(random.random() * 0.1)
        Receiver.came.append((body["garden"], body["kind"], body["id"]))
        try:
            self.send_response(204)
            self.end_headers()
        except OSError:
            pass

    def log_message(self, *_):
        pass


def tell(garden, number, port):
    text = (garden / "garden.toml").read_text(encoding="utf-8")
    text = text.replace('name = "Ridge garden"', f'name = "garden {number}"', 1)
    text += f'\n[[tell]]\nname = "Ann"\nby = "webhook"\nto = "http://127.0.0.1:{port}/"\n'
    (garden / "garden.toml").write_text(text, encoding="utf-8")


def main():
    random.seed(SEED)
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Receiver)
    port = server.server_address[1]
    threading.Thread(target=server.serve_forever, daemon=True).start()
    gardens, killed, told = 0, 0, 0
    lost, doubled, twice = 0, 0, 0
    while killed < KILLS:
        with tempfile.TemporaryDirectory() as folder:
            garden = Path(folder) / "garden"
            shutil.copytree(DEMO, garden)
            tell(garden, gardens, port)
            for _ in range(random.randint(1, 6)):
                run = subprocess.Popen([PROGRAM, "watch", "--at", AT, garden], stderr=subprocess.DEVNULL)
                time.sleep(random.random() * LONGEST_S)
                run.send_signal(signal.SIGKILL)
                run.wait()
                killed += 1
            done = subprocess.run([PROGRAM, "watch", "--once", "--at", AT, garden], capture_output=True, text=True)
            assert done.returncode == 0, done.stderr
            with sqlite3.connect(garden / "diary.sqlite") as diary:
                kept = diary.execute("SELECT kind, id FROM message").fetchall()
                sound = diary.execute("PRAGMA integrity_check").fetchone()[0]
            assert sound == "ok", sound
            came = Counter(m[1:] for m in Receiver.came if m[0] == f"garden {gardens}")
            told += len(kept)
            lost += sum((kind, name) not in came for kind, name in kept) + (len(kept) == 0)
            doubled += len(came) - len({kind for kind, _ in came})
            twice += sum(n - 1 for n in came.values())
            gardens += 1
    print(f"kills | {killed} kills in {gardens} gardens, {told} messages: {lost} lost, {doubled} doubled, "
          f"{twice} handed over twice under one name | {'within' if lost + doubled == 0 else 'MISSED'}")
    sys.exit(lost + doubled > 0)


main()
