// The real program, started as a person would start it.

import { spawn } from "node:child_process";

const BIN = process.env.TURNWISE_BIN;
if (!BIN) throw new Error("TURNWISE_BIN names no program");

/** Starts `turnwise` and waits for the line that says where its page is. */
export async function start(...args) {
  const child = spawn(BIN, args, { stdio: ["ignore", "pipe", "inherit"] });
  const ended = new Promise((resolve) => child.once("exit", resolve));
  const url = await new Promise((resolve, reject) => {
    let out = "";
    child.stdout.on("data", (data) => {
      out += data;
      const found = /(http:\/\/\S+)\r?\n/.exec(out);
      if (found) resolve(found[1]);
    });
    ended.then((code) => reject(new Error(`turnwise ${args[0]} ended with ${code} before it was ready`)));
    child.once("error", reject);
  });
  return {
    url,
    port: Number(new URL(url).port),
    async stop() {
      child.kill("SIGTERM");
      await ended;
    },
  };
}
