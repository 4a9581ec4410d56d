// What a person prefers on this device: language, light, how turns are said, from where the screw is seen.

export type Language = "en" | "es";
export type Light = "system" | "sun" | "vault";
export type TurnWords = "fraction" | "degrees" | "flats";
export type ViewFrom = "head" | "behind";

interface Kept {
  language: Language;
  light: Light;
  turns: TurnWords;
  viewFrom: ViewFrom;
}

const KEY = "turnwise.prefs";
const CHOICES: { [K in keyof Kept]: readonly Kept[K][] } = {
  language: ["en", "es"],
  light: ["system", "sun", "vault"],
  turns: ["fraction", "degrees", "flats"],
  viewFrom: ["head", "behind"],
};

/** One person's preferences, kept in the browser. Whatever is kept and makes no sense is left out. */
export class Prefs {
  #language = $state<Language>("en");
  #light = $state<Light>("system");
  #turns = $state<TurnWords>("fraction");
  #viewFrom = $state<ViewFrom>("head");
  readonly #storage: Storage;

  constructor(storage: Storage, languages: readonly string[] = []) {
    this.#storage = storage;
    const kept = read(storage);
    this.#language = kept.language ?? (languages[0]?.toLowerCase().startsWith("es") ? "es" : "en");
    this.#light = kept.light ?? "system";
    this.#turns = kept.turns ?? "fraction";
    this.#viewFrom = kept.viewFrom ?? "head";
  }

  get language(): Language {
    return this.#language;
  }
  get light(): Light {
    return this.#light;
  }
  get turns(): TurnWords {
    return this.#turns;
  }
  get viewFrom(): ViewFrom {
    return this.#viewFrom;
  }

  set language(language: Language) {
    this.#language = language;
    this.#keep();
  }
  set light(light: Light) {
    this.#light = light;
    this.#keep();
  }
  set turns(turns: TurnWords) {
    this.#turns = turns;
    this.#keep();
  }
  set viewFrom(viewFrom: ViewFrom) {
    this.#viewFrom = viewFrom;
    this.#keep();
  }

  #keep(): void {
    const kept: Kept = {
      language: this.#language,
      light: this.#light,
      turns: this.#turns,
      viewFrom: this.#viewFrom,
    };
    try {
      this.#storage.setItem(KEY, JSON.stringify(kept));
    } catch {
      // A full or forbidden storage costs the preference at the next start, nothing else.
    }
  }
}

function read(storage: Storage): Partial<Kept> {
  let raw: unknown;
  try {
    raw = JSON.parse(storage.getItem(KEY) ?? "{}");
  } catch {
    return {};
  }
  if (typeof raw !== "object" || raw === null) return {};
  const known = Object.entries(CHOICES).filter(([key, choices]) =>
    (choices as readonly unknown[]).includes((raw as Record<string, unknown>)[key]),
  );
  return Object.fromEntries(known.map(([key]) => [key, (raw as Record<string, unknown>)[key]])) as Partial<Kept>;
}

export const prefs = new Prefs(localStorage, navigator.languages);
