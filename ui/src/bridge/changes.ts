// Word of changes over a WebSocket, taken up again for as long as somebody listens.

const FIRST_WAIT_MS = 250;
const LONGEST_WAIT_MS = 5000;

/** Opens `address` and calls back on every message, and once after each new start, since words may have been missed. */
export function listen(address: string, changed: () => void): () => void {
  let wait = FIRST_WAIT_MS;
  let ended = false;
  let timer: ReturnType<typeof setTimeout> | undefined;
  let socket: WebSocket | undefined;

  const open = (): void => {
    socket = new WebSocket(address);
    socket.onopen = () => {
      wait = FIRST_WAIT_MS;
      changed();
    };
    socket.onmessage = () => changed();
    socket.onclose = () => {
      if (ended) return;
      changed();
      timer = setTimeout(open, wait);
      wait = Math.min(wait * 2, LONGEST_WAIT_MS);
    };
  };
  open();

  return () => {
    ended = true;
    clearTimeout(timer);
    socket?.close();
  };
}
