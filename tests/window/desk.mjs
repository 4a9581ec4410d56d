// A screen, a message bus and a WebDriver of our own, so that the test needs nobody's desktop.

import { spawn } from "node:child_process";
import { once } from "node:events";
import { readFile, readdir } from "node:fs/promises";
import { createServer } from "node:net";
import { createInterface } from "node:readline";
import { setTimeout as wait } from "node:timers/promises";
import { Session, isReady } from "./webdriver.mjs";

const LONGEST_START_MS = 30_000;
/** A search gives up after this; it ends as soon as it finds something. */
const LONGEST_WAIT_MS = 15_000;

/** Processes that end with the test: `screen` and `bus` for all windows, a driver for each. */
export class Desk {
  #children = [];
  #env;

  /** Starts an X server without a monitor and a session bus, and waits until both say that they are there. */
  static async open() {
    const desk = new Desk();
    const screen = desk.#start("Xvfb", ["-displayfd", "1", "-screen", "0", "900x1400x24", "-nolisten", "tcp"], process.env);
    const bus = desk.#start("dbus-daemon", ["--session", "--nofork", "--nopidfile", "--print-address=1"], process.env);
    const [display, address] = await Promise.all([firstLine(screen, "Xvfb"), firstLine(bus, "dbus-daemon")]);
    desk.#env = {
      ...process.env,
      DISPLAY: `:${display}`,
      DBUS_SESSION_BUS_ADDRESS: address,
      GDK_BACKEND: "x11",
      NO_AT_BRIDGE: "1",
      // There is no graphics card behind this screen.
      LIBGL_ALWAYS_SOFTWARE: "1",
      // What lets a driver take hold of the window; the shell's library reads it at start.
      TAURI_WEBVIEW_AUTOMATION: "true",
    };
    return desk;
  }

  /** Opens the program's window. `env` is added to its environment. */
  async openWindow(program, env) {
    const port = await freePort();
    const driver = this.#start("WebKitWebDriver", [`--port=${port}`], { ...this.#env, ...env });
    const address = `http://127.0.0.1:${port}`;
    const deadline = Date.now() + LONGEST_START_MS;
    while (!(await isReady(address))) {
      if (Date.now() > deadline) throw new Error("WebKitWebDriver does not answer");
      await wait(50);
    }
    const session = await Session.start(address, program);
    await session.patience(LONGEST_WAIT_MS);
    return new AppWindow(session, driver);
  }

  /** Ends everything that was started here, the newest first: a window before its screen. */
  async close() {
    for (const child of this.#children.reverse()) await stop(child);
  }

  #start(program, args, env) {
    const child = spawn(program, args, { env, stdio: ["ignore", "pipe", "inherit"] });
    this.#children.push(child);
    return child;
  }
}

/** The program's window, and the process behind it. */
export class AppWindow {
  #driver;

  constructor(page, driver) {
    this.page = page;
    this.#driver = driver;
  }

  /** Ends the program as a flat battery would: SIGKILL, no time to tidy up. */
  async kill() {
    const app = await this.#appProcess();
    process.kill(app, "SIGKILL");
    await gone(app);
    // The driver has nothing to drive any more.
    await stop(this.#driver);
  }

  async #appProcess() {
    const pid = this.#driver.pid;
    const children = (await readFile(`/proc/${pid}/task/${pid}/children`, "utf8")).split(" ").filter(Boolean);
    if (children.length !== 1) throw new Error(`the driver has ${children.length} children, one was expected`);
    return Number(children[0]);
  }
}

async function firstLine(child, name) {
  const lines = createInterface({ input: child.stdout });
  const ended = once(child, "exit").then(([code]) => {
    throw new Error(`${name} ended with ${code} before it was ready`);
  });
  const [line] = await Promise.race([once(lines, "line"), ended]);
  ended.catch(() => {}); // From here on its end is expected.
  return line;
}

/**
 * Waits until a process that is no child of this one has let go of its files. Its parent may not have asked after it
 * yet, so it may stand there as a zombie; its files are closed when no thread but that is left.
 */
async function gone(pid) {
  const deadline = Date.now() + LONGEST_START_MS;
  for (;;) {
    const [stat, threads] = await Promise.all([
      unlessGone(readFile(`/proc/${pid}/stat`, "utf8")),
      unlessGone(readdir(`/proc/${pid}/task`)),
    ]);
    // "PID (name) STATE ...": proc_pid_stat(5). The name may hold anything, so look behind its last bracket.
    if (stat === null || threads === null) return;
    if (threads.length === 1 && /^\) [ZX]/.test(stat.slice(stat.lastIndexOf(")")))) return;
    if (Date.now() > deadline) throw new Error(`process ${pid} does not end`);
    await wait(10);
  }
}

async function unlessGone(read) {
  try {
    return await read;
  } catch (error) {
    if (error.code === "ENOENT" || error.code === "ESRCH") return null;
    throw error;
  }
}

async function stop(child) {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const ended = once(child, "exit");
  child.kill("SIGTERM");
  await ended;
}

async function freePort() {
  const server = createServer().listen(0, "127.0.0.1");
  await once(server, "listening");
  const { port } = server.address();
  server.close();
  await once(server, "close");
  return port;
}
