// The native shell: the same JSON, one call deep.

import { invoke } from "@tauri-apps/api/core";
import { listen } from "@tauri-apps/api/event";
import type { Command } from "../generated/Command";
import type { Query } from "../generated/Query";
import type { Reply } from "../generated/Reply";
import type { View } from "../generated/View";
import { type Bridge, NoAnswer, refusalIn } from "./bridge";

async function call<T>(name: "command" | "view", message: Command | Query): Promise<T> {
  let answer: string;
  try {
    answer = await invoke<string>(name, { json: JSON.stringify(message) });
  } catch (cause) {
    throw refusalIn(cause) ?? new NoAnswer(String(cause), { cause });
  }
  return JSON.parse(answer) as T;
}

/** A tablet in its own window. */
export class TauriBridge implements Bridge {
  command(command: Command): Promise<Reply> {
    return call("command", command);
  }

  view(query: Query): Promise<View> {
    return call("view", query);
  }

  subscribe(changed: () => void): () => void {
    let ended = false;
    let end: (() => void) | undefined;
    void listen("changed", changed).then((unlisten) => {
      if (ended) unlisten();
      else end = unlisten;
      changed();
    });
    return () => {
      ended = true;
      end?.();
    };
  }
}
