// A garden of one's own for each test: the real binary on a scratch copy of a demo garden, at an hour of our choosing.
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { createInterface } from 'node:readline';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));
const binary = resolve(root, process.env.RIMEFOLD ?? 'target/release/rimefold');

/** The afternoon that the demo gardens' forecasts begin at. */
export const AFTERNOON = '2027-05-14T16:00';

/** A folder, and the server over it while it runs. */
export class Garden {
  /** A scratch copy of `demo/NAME`; without a name an empty folder. */
  constructor(name) {
    this.folder = mkdtempSync(join(tmpdir(), 'rimefold-pages-'));
    if (name) cpSync(join(root, 'demo', name), this.folder, { recursive: true });
  }

  /** The path of a file in the folder. */
  path(file) {
    return join(this.folder, file);
  }

  read(file) {
    return readFileSync(this.path(file), 'utf8');
  }

  write(file, text) {
    writeFileSync(this.path(file), text);
  }

  /** Rewrites garden.toml, as an editor beside the browser would. */
  edit(change) {
    this.write('garden.toml', change(this.read('garden.toml')));
  }

  /** Starts the server and waits until the plan stands; the port stays the same over restarts. */
  async start({ at = AFTERNOON, door, more = [] } = {}) {
    const port = this.address ? new URL(this.address).port : '0';
    const all = ['serve', this.folder, '--port', port, ...more];
    // The hour is the garden's own, so there must be a garden.
    if (existsSync(this.path('garden.toml'))) all.push('--at', at);
    if (door) {
      this.write('password', `${door}\n`);
      all.push('--lan', '--password-file', this.path('password'));
    }
    const server = spawn(binary, all, { stdio: ['ignore', 'ignore', 'pipe'] });
    this.server = server;
    this.address = await address(server);
    await this.ready();
    return this;
  }

  /** Waits until the evening's plan is there. */
  async ready() {
    for (let i = 0; i < 1200; i++) {
      const answer = await fetch(`${this.address}/standing`);
      if (!answer.ok || answer.redirected || (await answer.text()).trim() === 'ready') return;
      await pause(100);
    }
    throw new Error('the plan was not ready within two minutes');
  }

  /** Waits until the server has noticed a changed file, which it looks for every second. */
  async working() {
    for (let i = 0; i < 120; i++) {
      if ((await (await fetch(`${this.address}/standing`)).text()).trim() === 'working') return;
      await pause(25);
    }
  }

  /** Ends the server; the folder stays. `SIGKILL` is the plug pulled. */
  async stop(signal = 'SIGTERM') {
    if (this.server.exitCode !== null || this.server.signalCode !== null) return;
    const gone = once(this.server, 'exit');
    this.server.kill(signal);
    await gone;
  }

  /** Ends the server and takes the folder away. */
  async clear() {
    if (this.server) await this.stop();
    rmSync(this.folder, { recursive: true, force: true });
  }
}

/** A running copy of `demo/NAME`, gone when the test has ended. */
export async function garden(t, name, how) {
  const made = new Garden(name);
  t.after(() => made.clear());
  return made.start(how);
}

/** The address a server tells on its way up. */
async function address(server) {
  const said = [];
  for await (const line of createInterface({ input: server.stderr })) {
    said.push(line);
    const found = line.match(/http:\/\/[^\s/]+:\d+/);
    if (found) {
      server.stderr.resume();
      return found[0].replace('0.0.0.0', '127.0.0.1');
    }
  }
  throw new Error(`the server did not start: ${said.join('\n')}`);
}
