// What another program finds in a data folder after the window is gone: the browser shell, asked over HTTP.

import { spawn } from "node:child_process";
import { once } from "node:events";
import { createInterface } from "node:readline";

/** The newest reading at every point of a job's first valve, as the `turnwise` command reads them from the disk. */
export async function readingsOnDisk(turnwise, data, number) {
  const shell = spawn(turnwise, ["tablet", "--data", data, "--listen", "127.0.0.1:0"], {
    stdio: ["ignore", "pipe", "inherit"],
  });
  try {
    const { origin, token } = await startAddress(shell);
    const view = async (query) => {
      const response = await fetch(`${origin}/api/view`, {
        method: "POST",
        headers: { Authorization: `Bearer ${token}`, "Content-Type": "application/json" },
        body: JSON.stringify(query),
      });
      const answer = await response.json();
      if (!response.ok) throw new Error(`${answer.code}: ${answer.message}`);
      return answer;
    };
    const { home } = await view("home");
    const card = home.jobs.find((job) => job.number === number);
    if (card === undefined) throw new Error(`there is no job ${number} on the disk`);
    const shown = await view({ job: { job: card.job, screen: { readings: { newest: 100 } } } });
    return shown.job.screen.readings.points.flatMap(({ newest }) =>
      newest === null ? [] : [{ point: newest.point, figure: newest.figure, by: newest.said.by }],
    );
  } finally {
    if (shell.exitCode === null) {
      const ended = once(shell, "exit");
      shell.kill("SIGTERM");
      await ended;
    }
  }
}

/** The address with its start token, which the shell prints when it is ready. */
async function startAddress(shell) {
  for await (const line of createInterface({ input: shell.stdout })) {
    const found = /(http:\/\/127\.0\.0\.1:\d+)\/#token=([0-9a-f]+)/.exec(line);
    if (found) return { origin: found[1], token: found[2] };
  }
  throw new Error("turnwise tablet ended before it was ready");
}
