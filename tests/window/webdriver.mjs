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

  /** How long a search waits for what is to appear. */
  async patience(milliseconds) {
    await call("POST", `${this.#base}/timeouts`, { implicit: milliseconds });
  }

  title() {
    return call("GET", `${this.#base}/title`);
  }

  /** Runs a function body in the page and returns what it returns. */
  run(script, ...args) {
    return call("POST", `${this.#base}/execute/sync`, { script, args });
  }

  /** A PNG of the window's content. */
  async screenshot() {
    return Buffer.from(await call("GET", `${this.#base}/screenshot`), "base64");
  }

  /** Presses the button or link of this name: the last one, which is on top where a sheet lies over the page. */
  async press(name) {
    const named = `@aria-label=${quoted(name)} or (not(@aria-label) and normalize-space(.)=${quoted(name)})`;
    const found = await this.#find(`(//*[self::button or self::a][not(@disabled)][${named}])[last()]`);
    await call("POST", `${this.#base}/element/${found}/click`);
  }

  /** Presses the first button or link whose name begins like this. */
  async pressFirst(beginning) {
    const found = await this.#find(`//*[self::button or self::a][starts-with(@aria-label, ${quoted(beginning)})]`);
    await call("POST", `${this.#base}/element/${found}/click`);
  }

  /** Types into the field with this label. */
  async fill(label, text) {
    const found = await this.#find(`//*[@id = //label[normalize-space(.)=${quoted(label)}]/@for]`);
    await call("POST", `${this.#base}/element/${found}/value`, { text });
  }

  /** Waits until this stands on the page, alone in its element but for blanks. */
  async see(text) {
    await this.#find(`//*[normalize-space(.)=${quoted(text)}]`);
  }

  async #find(xpath) {
    const found = await call("POST", `${this.#base}/element`, { using: "xpath", value: xpath });
    return found[ELEMENT];
  }
}

function quoted(text) {
  if (text.includes('"')) throw new Error(`XPath has no way to quote ${text}`);
  return `"${text}"`;
}
