// The office server's JSON, one method a route.

import { ask, bearer, changesAddress } from "../bridge/http";
import { listen } from "../bridge/changes";
import type { AccountChange } from "../generated/AccountChange";
import type { AccountNew } from "../generated/AccountNew";
import type { AccountView } from "../generated/AccountView";
import type { AuditPage } from "../generated/AuditPage";
import type { AtHand } from "../generated/AtHand";
import type { ChangeRequest } from "../generated/ChangeRequest";
import type { HandOut } from "../generated/HandOut";
import type { NewPassword } from "../generated/NewPassword";
import type { OfficeHome } from "../generated/OfficeHome";
import type { OfficeJob } from "../generated/OfficeJob";
import type { SessionView } from "../generated/SessionView";
import type { SignIn } from "../generated/SignIn";
import type { TokenMade } from "../generated/TokenMade";
import type { TokenNew } from "../generated/TokenNew";
import type { TokenView } from "../generated/TokenView";

/** The files of a job. */
export type OfficeFile = "export.json" | "record.json" | "export.csv?lang=en" | "export.csv?lang=es";

/** What the page asks of the server. Every call rejects with a `Refused` or a `NoAnswer`. */
export class OfficeApi {
  /** The token of the address line. Empty: the page goes by the session's cookie, which the browser sends itself. */
  #token: string;
  /** What the session's own page sends back, so that no foreign page can use the cookie. */
  #csrf: string | null = null;
  readonly #forget: () => void;

  constructor(token: string, forget: () => void = () => {}) {
    this.#token = token;
    this.#forget = forget;
  }

  async session(): Promise<SessionView> {
    return this.#entered(await ask<SessionView>(this.#access(), "/api/session"));
  }

  /** From here on the page is this person's; the address line's token is put away. */
  async signIn(who: SignIn): Promise<SessionView> {
    const session = await ask<SessionView>({}, "/api/session", who);
    this.#token = "";
    this.#forget();
    return this.#entered(session);
  }

  async signOut(): Promise<SessionView> {
    const session = await ask<SessionView>(this.#access(), "/api/session", undefined, "DELETE");
    this.#token = "";
    this.#forget();
    return this.#entered(session);
  }

  newPassword(password: NewPassword): Promise<SessionView> {
    return ask(this.#access(), "/api/session/password", password);
  }

  people(): Promise<AccountView[]> {
    return ask(this.#access(), "/api/people");
  }

  addPerson(person: AccountNew): Promise<AccountView> {
    return ask(this.#access(), "/api/people", person);
  }

  changePerson(id: string, change: AccountChange): Promise<AccountView> {
    return ask(this.#access(), `/api/people/${encodeURIComponent(id)}`, change);
  }

  tokens(): Promise<TokenView[]> {
    return ask(this.#access(), "/api/tokens");
  }

  addToken(token: TokenNew): Promise<TokenMade> {
    return ask(this.#access(), "/api/tokens", token);
  }

  revokeToken(id: string): Promise<TokenView[]> {
    return ask(this.#access(), `/api/tokens/${encodeURIComponent(id)}`, undefined, "DELETE");
  }

  audit(before: number | null): Promise<AuditPage> {
    return ask(this.#access(), before === null ? "/api/audit" : `/api/audit?before=${before}`);
  }

  home(): Promise<OfficeHome> {
    return ask(this.#access(), "/api/jobs");
  }

  handOut(job: HandOut): Promise<OfficeJob> {
    return ask(this.#access(), "/api/jobs", job);
  }

  /** Reads the owner's procedure files again. */
  reloadProcedures(): Promise<AtHand> {
    return ask(this.#access(), "/api/procedures/reload", {});
  }

  changeRequest(job: string, change: ChangeRequest): Promise<OfficeJob> {
    return ask(this.#access(), `/api/jobs/${encodeURIComponent(job)}/request`, change);
  }

  /** A file of the job as its exact bytes. */
  async file(job: string, name: OfficeFile): Promise<Blob> {
    const response = await fetch(`/api/jobs/${encodeURIComponent(job)}/${name}`, { headers: this.#access() });
    if (!response.ok) throw new Error(`${response.status}`);
    return response.blob();
  }

  subscribe(changed: () => void): () => void {
    return listen(changesAddress(location, this.#token), changed);
  }

  #access(): Record<string, string> {
    if (this.#token !== "") return bearer(this.#token);
    return this.#csrf === null ? {} : { "X-Turnwise-Csrf": this.#csrf };
  }

  #entered(session: SessionView): SessionView {
    this.#csrf = session.csrf;
    return session;
  }
}
