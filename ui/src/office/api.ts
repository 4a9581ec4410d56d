// The office server's JSON, one method a route.

import { ask, changesAddress } from "../bridge/http";
import { listen } from "../bridge/changes";
import type { AtHand } from "../generated/AtHand";
import type { ChangeRequest } from "../generated/ChangeRequest";
import type { HandOut } from "../generated/HandOut";
import type { OfficeHome } from "../generated/OfficeHome";
import type { OfficeJob } from "../generated/OfficeJob";

/** What the page asks of the server. Every call rejects with a `Refused` or a `NoAnswer`. */
export class OfficeApi {
  readonly #token: string;

  constructor(token: string) {
    this.#token = token;
  }

  home(): Promise<OfficeHome> {
    return ask(this.#token, "/api/jobs");
  }

  handOut(job: HandOut): Promise<OfficeJob> {
    return ask(this.#token, "/api/jobs", job);
  }

  /** Reads the owner's procedure files again. */
  reloadProcedures(): Promise<AtHand> {
    return ask(this.#token, "/api/procedures/reload", {});
  }

  changeRequest(job: string, change: ChangeRequest): Promise<OfficeJob> {
    return ask(this.#token, `/api/jobs/${encodeURIComponent(job)}/request`, change);
  }

  /** A file of the job as its exact bytes. */
  async file(job: string, name: "export.json" | "record.json"): Promise<Blob> {
    const response = await fetch(`/api/jobs/${encodeURIComponent(job)}/${name}`, {
      headers: { Authorization: `Bearer ${this.#token}` },
    });
    if (!response.ok) throw new Error(`${response.status}`);
    return response.blob();
  }

  subscribe(changed: () => void): () => void {
    return listen(changesAddress(location, this.#token), changed);
  }
}
