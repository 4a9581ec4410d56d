// The few calls of the W3C WebDriver protocol that the window test needs (https://www.w3.org/TR/webdriver2/).

/** The key under which the protocol hands over an element (WebDriver, section "Elements"). */
const ELEMENT = "element-6066-11e4-a52e-4f735466cecf";

/** The driver's answer was an error. `code` is the protocol's error code. */
export class WebDriverError extends Error {
  constructor(code, message) {
    super(`${code}: ${message}`);
    this.name = "WebDriverError";
    this.code = code;
  }
}

async function call(method, url, body) {
  const response = await fetch(url, {
    method,
    headers: { "Content-Type": "application/json" },
    ...(method === "POST" ? { body: JSON.stringify(body ?? {}) } : {}),
  });
  const { value } = await response.json();
  if (!response.ok) throw new WebDriverError(value.error, value.message);
  return value;
}

/** Whether the driver at this address takes sessions yet. */
export async function isReady(driver) {
  try {
    return (await call("GET", `${driver}/status`)).ready;
  } catch (error) {
    if (error.cause?.code === "ECONNREFUSED") return false;
    throw error;
  }
}

/** One window under control. */
export class Session {
  #base;

  constructor(base) {
    this.#base = base;
  }

  /** Starts the program and takes hold of its window. */
  static async start(driver, program) {
    const capabilities = { alwaysMatch: { "webkitgtk:browserOptions": { binary: program, args: [] } } };
    const { sessionId } = await call("POST", `${driver}/session`, { capabilities });
    return new Session(`${driver}/session/${sessionId}`);
  }

  title() {
    return call("GET", `${this.#base}/title`);
  }

  source() {
    return call("GET", `${this.#base}/source`);
  }

  /** Runs a function body in the page and returns what it returns. */
  run(script, ...args) {
    return call("POST", `${this.#base}/execute/sync`, { script, args });
  }

  /** A PNG of the window's content. */
  async screenshot() {
    return Buffer.from(await call("GET", `${this.#base}/screenshot`), "base64");
  }

  /** Elements that match a CSS selector, now. */
  async all(css) {
    const found = await call("POST", `${this.#base}/elements`, { using: "css selector", value: css });
    return found.map((one) => one[ELEMENT]);
  }

  /** What is written on an element, as a person would read it. */
  text(element) {
    return call("GET", `${this.#base}/element/${element}/text`);
  }

  click(element) {
    return call("POST", `${this.#base}/element/${element}/click`);
  }

  type(element, text) {
    return call("POST", `${this.#base}/element/${element}/value`, { text });
  }
}
