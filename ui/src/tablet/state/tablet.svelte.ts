// The tablet's state on the screen: where the person is, what is shown there, and whose words go in.

import { getContext, setContext } from "svelte";
import { type Bridge, NoAnswer } from "../../bridge/bridge";
import type { Body } from "../../generated/Body";
import type { Command } from "../../generated/Command";
import type { ExportFile } from "../../generated/ExportFile";
import type { ExportQuery } from "../../generated/ExportQuery";
import type { HomeView } from "../../generated/HomeView";
import type { JobHead } from "../../generated/JobHead";
import type { LoggerLookView } from "../../generated/LoggerLookView";
import type { LoggerReading } from "../../generated/LoggerReading";
import type { Person } from "../../generated/Person";
import type { PointView } from "../../generated/PointView";
import type { Query } from "../../generated/Query";
import type { RecordContent } from "../../generated/RecordContent";
import type { ScreenView } from "../../generated/ScreenView";
import { type JobRoute, type Route, type ScreenName, readRoute, writeRoute } from "./route";
import { type Trouble, troubleOf } from "./trouble";
import { isOneEntry, wantOf } from "./want";

/** How many entries the story shows at first, and how many more at each press. */
export const STORY_PAGE = 60;

/** What became of a command. `kept` is false also where the person called it off at the read-back. */
export type Sent = { readonly kept: true } | { readonly kept: false; readonly trouble: Trouble | null };

/** An entry of another's words, waiting for their yes. */
export interface ReadBack {
  readonly caller: Person;
  readonly lines: readonly string[];
  readonly answer: (yes: boolean) => void;
}

interface Shown {
  readonly head: JobHead;
  readonly screen: ScreenView;
}

export class Tablet {
  readonly #bridge: Bridge;
  #route = $state.raw<Route>({ at: "home" });
  #home = $state.raw<HomeView | null>(null);
  #shown = $state.raw<Shown | null>(null);
  #trouble = $state.raw<Trouble | null>(null);
  #caller = $state.raw<Person | null>(null);
  #readBack = $state.raw<ReadBack | null>(null);
  #savedTimes = $state(0);
  #story = $state(STORY_PAGE);
  #asking = false;
  #askAgain = false;

  constructor(bridge: Bridge) {
    this.#bridge = bridge;
    this.#route = readRoute(location.hash);
  }

  get route(): Route {
    return this.#route;
  }
  /** The first screen, once fetched. */
  get home(): HomeView | null {
    return this.#home;
  }
  /** The job in hand with the screen last shown; it may still be the screen before while the next is fetched. */
  get shown(): Shown | null {
    return this.#shown;
  }
  /** Why the screen in hand cannot be fetched. */
  get trouble(): Trouble | null {
    return this.#trouble;
  }
  /** Who calls, where this tablet's person keys for another. */
  get caller(): Person | null {
    return this.#caller;
  }
  get readBack(): ReadBack | null {
    return this.#readBack;
  }
  /** How often something was saved: each change is worth a word. */
  get savedTimes(): number {
    return this.#savedTimes;
  }

  /** Begins to listen. Returns what ends it. */
  start(): () => void {
    const moved = (): void => {
      // What `go` began is known already; this is for the browser's own back and forward, and for links.
      if (writeRoute(this.#route) !== location.hash) this.#enter(readRoute(location.hash));
    };
    window.addEventListener("hashchange", moved);
    const unsubscribe = this.#bridge.subscribe(() => void this.refresh());
    void this.refresh();
    return () => {
      window.removeEventListener("hashchange", moved);
      unsubscribe();
    };
  }

  go(route: Route): void {
    this.#enter(route);
    location.hash = writeRoute(route);
  }

  /** Another place in the job in hand. The valve in hand stays in hand. */
  goTo(place: Partial<Omit<JobRoute, "at" | "job">> & Pick<JobRoute, "screen">): void {
    if (this.#route.at !== "job") return;
    const valve = place.valve ?? this.#route.valve;
    this.go({ at: "job", job: this.#route.job, ...place, ...(valve === undefined ? {} : { valve }) });
  }

  /** To the screen where something is put right, and back here once it is. */
  goFor(want: string, screen: ScreenName): void {
    if (this.#route.at !== "job") return;
    const { screen: back, procedure, step } = this.#route;
    this.goTo({
      screen, want, back,
      ...(procedure === undefined ? {} : { procedure }), ...(step === undefined ? {} : { step }),
    });
  }

  /** Back to where a want came from, if it came from anywhere. */
  goBack(): void {
    if (this.#route.at !== "job" || this.#route.want === undefined || this.#route.back === undefined) return;
    const { procedure, step } = this.#route;
    this.goTo({
      screen: this.#route.back,
      ...(procedure === undefined ? {} : { procedure }), ...(step === undefined ? {} : { step }),
    });
  }

  /** What was to be put right here was left alone: whatever is recorded next leads nowhere. */
  leaveAlone(): void {
    if (this.#route.at !== "job" || this.#route.want === undefined) return;
    const { want: _want, back: _back, ...rest } = this.#route;
    this.#route = rest;
    history.replaceState(history.state, "", writeRoute(rest));
  }

  calledBy(person: Person | null): void {
    this.#caller = person;
  }

  moreStory(): void {
    this.#story += STORY_PAGE;
    void this.refresh();
  }

  /** Fetches what is shown. While one fetch is under way, any number of calls make one more. */
  async refresh(): Promise<void> {
    this.#askAgain = true;
    if (this.#asking) return;
    this.#asking = true;
    try {
      while (this.#askAgain) {
        this.#askAgain = false;
        await this.#fetch();
      }
    } finally {
      this.#asking = false;
    }
  }

  /** The points of the valve in hand, for a screen whose own view does not carry them. None where they cannot be had. */
  async points(): Promise<readonly PointView[]> {
    const route = this.#route;
    if (route.at !== "job") return [];
    try {
      const valve = route.valve === undefined ? {} : { valve: route.valve };
      const view = await this.#bridge.view({ job: { job: route.job, ...valve, screen: { readings: { newest: 0 } } } });
      return "job" in view && "readings" in view.job.screen ? view.job.screen.readings.points : [];
    } catch (thrown) {
      this.#trouble = troubleOf(thrown);
      return [];
    }
  }

  /** The first screen's view, for a sheet that is open on another. `null` where it cannot be had. */
  async firstScreen(): Promise<HomeView | null> {
    try {
      const view = await this.#bridge.view("home");
      return "home" in view ? view.home : null;
    } catch (thrown) {
      this.#trouble = troubleOf(thrown);
      return null;
    }
  }

  /** What a signature of the job's record would cover. Rejects as the bridge does. */
  async recordContent(job: string): Promise<RecordContent> {
    const view = await this.#bridge.view({ record: { job } });
    if (!("record" in view)) throw new NoAnswer("record");
    return view.record;
  }

  /** The job as a file. Rejects as the bridge does. */
  async exportFile(query: ExportQuery): Promise<ExportFile> {
    const view = await this.#bridge.view({ export: query });
    if (!("export" in view)) throw new NoAnswer("export");
    return view.export;
  }

  /** Gives a command and says what became of it. */
  async send(command: Command): Promise<Sent> {
    try {
      await this.#bridge.command(command);
    } catch (thrown) {
      return { kept: false, trouble: troubleOf(thrown) };
    }
    this.#savedTimes += 1;
    await this.refresh();
    return { kept: true };
  }

  /** Hands over one part of a file: nothing is kept yet, so nothing is said to be saved. */
  async bring(command: Command): Promise<void> {
    await this.#bridge.command(command);
  }

  /** What the file holds that was handed over, read so. */
  async lookAt(reading: LoggerReading): Promise<LoggerLookView | null> {
    const view = await this.#bridge.view({ logger: reading });
    return "logger" in view ? view.logger : null;
  }

  /** Records what happened. Another's words are read back first; `lines` is what is read. */
  async record(body: Body, lines: readonly string[]): Promise<Sent> {
    if (this.#route.at !== "job") return { kept: false, trouble: null };
    const job = this.#route.job;
    const caller = this.#caller;
    if (caller === null) return this.#recorded({ record: { job, body } });
    const yes = await new Promise<boolean>((answer) => {
      this.#readBack = { caller, lines, answer };
    });
    this.#readBack = null;
    if (!yes) return { kept: false, trouble: null };
    return this.#recorded({ record: { job, called_by: caller.id, body } });
  }

  async #recorded(command: Command): Promise<Sent> {
    const sent = await this.send(command);
    const route = this.#route;
    if (sent.kept && route.at === "job" && route.want !== undefined && isOneEntry(wantOf(route.want))) this.goBack();
    return sent;
  }

  #enter(route: Route): void {
    const before = this.#route;
    if (route.at === "home" || before.at === "home" || before.job !== route.job) {
      this.#caller = null;
      this.#shown = null;
      this.#story = STORY_PAGE;
    }
    this.#route = route;
    void this.refresh();
  }

  async #fetch(): Promise<void> {
    const route = this.#route;
    try {
      const view = await this.#bridge.view(this.#query(route));
      if (route !== this.#route) {
        this.#askAgain = true;
        return;
      }
      if ("home" in view) this.#home = view.home;
      else if ("job" in view) this.#shown = view.job;
      this.#trouble = null;
    } catch (thrown) {
      this.#trouble = troubleOf(thrown);
    }
  }

  #query(route: Route): Query {
    if (route.at === "home") return "home";
    const { job, screen, valve, screw, procedure, step } = route;
    const which = { job, ...(valve === undefined ? {} : { valve }), ...(screw === undefined ? {} : { screw }) };
    if (screen === "steps") {
      return {
        job: {
          ...which,
          screen: {
            steps: { ...(procedure === undefined ? {} : { procedure }), ...(step === undefined ? {} : { step }) },
          },
        },
      };
    }
    if (screen === "readings") return { job: { ...which, screen: { readings: { newest: this.#story } } } };
    if (screen === "logger") {
      const { entry, from, to } = route;
      const window = { ...(from === undefined ? {} : { from_s: Number(from) }), ...(to === undefined ? {} : { to_s: Number(to) }) };
      return { job: { ...which, screen: { logger: { ...(entry === undefined ? {} : { entry }), ...window } } } };
    }
    if (screen === "diagnosis") return { job: { ...which, screen: { diagnosis: route.symptom === undefined ? {} : { symptom: route.symptom } } } };
    return { job: { ...which, screen } };
  }
}

const KEY = Symbol("tablet");

export function provideTablet(tablet: Tablet): Tablet {
  return setContext(KEY, tablet);
}

export function useTablet(): Tablet {
  return getContext<Tablet>(KEY);
}
