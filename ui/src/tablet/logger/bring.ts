// A file on its way to the core: gzipped and in parts, as much as a command may carry.

/** How many bytes of the gzipped file go into one part: base 64 makes a third more of them. */
export const PART_BYTES = 150_000;

/** The gzipped bytes of a file. */
export async function gzipped(file: Blob): Promise<Uint8Array> {
  const packed = file.stream().pipeThrough(new CompressionStream("gzip"));
  return new Uint8Array(await new Response(packed).arrayBuffer());
}

/** The parts of some bytes, in base 64. Nothing still makes one part, so that a file before it is forgotten. */
export function parts(bytes: Uint8Array, size = PART_BYTES): string[] {
  const count = Math.max(1, Math.ceil(bytes.length / size));
  return Array.from({ length: count }, (_, at) => base64(bytes.subarray(at * size, (at + 1) * size)));
}

function base64(bytes: Uint8Array): string {
  let text = "";
  // In slices, since a call takes only so many arguments.
  for (let at = 0; at < bytes.length; at += 8192) text += String.fromCharCode(...bytes.subarray(at, at + 8192));
  return btoa(text);
}
