// A bridge with nothing behind it: answers from fixtures and keeps what it was told.

import type { Bridge } from "../../src/bridge/bridge";
import type { Command } from "../../src/generated/Command";
import type { HomeView } from "../../src/generated/HomeView";
import type { JobHead } from "../../src/generated/JobHead";
import type { LoggerLookView } from "../../src/generated/LoggerLookView";
import type { Query } from "../../src/generated/Query";
import type { Reply } from "../../src/generated/Reply";
import type { ScreenView } from "../../src/generated/ScreenView";
import type { View } from "../../src/generated/View";
import * as fixtures from "./fixtures";

export class FakeBridge implements Bridge {
  readonly commands: Command[] = [];
  readonly queries: Query[] = [];
  home: HomeView = fixtures.home;
  head: JobHead = fixtures.head();
  screens: Record<string, ScreenView> = {
    pre_job: { pre_job: fixtures.preJob },
    line_up: { line_up: fixtures.lineUp },
    steps: { steps: fixtures.steps },
    setting: { setting: fixtures.setting() },
    readings: { readings: fixtures.readings },
    diagnosis: { diagnosis: fixtures.diagnosis },
    logger: { logger: fixtures.logger },
    close_out: { close_out: fixtures.closeOut },
    crew: { crew: fixtures.crew },
  };
  /** What the file holds that was handed over. */
  look: LoggerLookView = fixtures.look;
  /** What the next command is refused with. */
  refusal: Error | null = null;
  #changed: () => void = () => undefined;

  async command(command: Command): Promise<Reply> {
    if (this.refusal) {
      const refusal = this.refusal;
      this.refusal = null;
      throw refusal;
    }
    this.commands.push(command);
    return { job: null, entries: [] };
  }

  async view(query: Query): Promise<View> {
    this.queries.push(query);
    if (query === "home") return { home: this.home };
    if ("record" in query) return { record: fixtures.recordContent };
    if ("export" in query) return { export: { name: `J-2041-r1.${query.export.form}`, media: "text/plain", text: "text" } };
    if (!("job" in query)) return { logger: this.look };
    const { screen } = query.job;
    const name = typeof screen === "string" ? screen : (Object.keys(screen)[0] ?? "");
    const view = this.screens[name];
    if (view === undefined) throw new Error(`no fixture for ${name}`);
    return { job: { head: this.head, screen: view } };
  }

  subscribe(changed: () => void): () => void {
    this.#changed = changed;
    return () => undefined;
  }

  /** As if something had changed at the core. */
  tell(): void {
    this.#changed();
  }
}
