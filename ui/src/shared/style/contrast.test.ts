import { readFileSync } from "node:fs";
import { expect, test } from "vitest";

const css = readFileSync("src/shared/style/tokens.css", "utf8");

function tokens(light: string): Map<string, string> {
  const block = css.slice(css.indexOf(`[data-light="${light}"]`));
  const found = block.slice(0, block.indexOf("}")).matchAll(/--([a-z-]+):\s*(#[0-9a-f]{6})/g);
  return new Map([...found].map(([, name, value]) => [name as string, value as string]));
}

/** Relative luminance, WCAG 2.2, definition of "relative luminance". */
function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const part = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(one: string, other: string): number {
  const [low, high] = [luminance(one), luminance(other)].sort((a, b) => a - b) as [number, number];
  return (high + 0.05) / (low + 0.05);
}

const TEXT = [
  ["ink", "ground"], ["ink", "plate"], ["ink", "sunk"], ["ink", "water-soft"], ["ink", "minium-soft"],
  ["quiet", "ground"], ["quiet", "plate"], ["quiet", "sunk"], ["quiet", "water-soft"], ["quiet", "minium-soft"],
  ["lid-ink", "lid"], ["lid-ink", "lid-plate"], ["brass-ink", "brass"], ["water-ink", "water"],
  ["minium-ink", "minium"],
] as const;
const SHAPES = [["edge", "ground"], ["edge", "plate"], ["pipe", "plate"], ["pipe", "ground"], ["lid-edge", "lid"], ["stream", "plate"],
  ["focus", "ground"], ["focus", "plate"]] as const;

for (const light of ["sun", "vault"]) {
  const of = tokens(light);
  const pair = (a: string, b: string): number => contrast(of.get(a) ?? "#000000", of.get(b) ?? "#000000");

  test.each(TEXT)(`in ${light} light %s on %s can be read: 7:1`, (ink, ground) => {
    expect(pair(ink, ground)).toBeGreaterThanOrEqual(7);
  });

  test.each(SHAPES)(`in ${light} light the shape %s shows on %s: 3:1`, (shape, ground) => {
    expect(pair(shape, ground)).toBeGreaterThanOrEqual(3);
  });
}
