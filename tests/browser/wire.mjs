// A length of wire between two programs that can really be cut: sockets are destroyed and nothing listens any more.

import net from "node:net";

export class Wire {
  #sockets = new Set();
  #server = null;

  constructor(port) {
    this.port = port;
    this.target = null;
  }

  /** Lays the wire. Its port is taken from here on, whether or not it is cut. */
  static async lay() {
    const probe = net.createServer().listen(0, "127.0.0.1");
    await new Promise((listening) => probe.once("listening", listening));
    const { port } = probe.address();
    await new Promise((closed) => probe.close(closed));
    return new Wire(port);
  }

  /** Joins it to a port on this machine. */
  async join(target = this.target) {
    this.target = target;
    this.#server = net.createServer((near) => {
      const far = net.connect(this.target, "127.0.0.1");
      for (const socket of [near, far]) {
        socket.setNoDelay(true);
        this.#sockets.add(socket);
        socket.on("close", () => {
          this.#sockets.delete(socket);
          near.destroy();
          far.destroy();
        });
        // Whoever is cut off hears it as an error; the close that follows is what counts.
        socket.on("error", () => socket.destroy());
      }
      near.pipe(far).pipe(near);
    });
    this.#server.listen(this.port, "127.0.0.1");
    await new Promise((listening, failed) => this.#server.once("listening", listening).once("error", failed));
  }

  /** Cuts it. */
  async cut() {
    if (this.#server === null) return;
    const closed = new Promise((done) => this.#server.close(done));
    for (const socket of this.#sockets) socket.destroy();
    await closed;
    this.#server = null;
  }
}
