import { render, screen } from "@testing-library/svelte";
import { createRawSnippet } from "svelte";
import { expect, test } from "vitest";
import List from "./List.svelte";

const item = createRawSnippet((each: () => string) => ({ render: () => `<span>${each()}</span>` }));
const of = (count: number): string[] => Array.from({ length: count }, (_, at) => `job ${at}`);

test("a short list is in the page from end to end", () => {
  render(List<string>, { items: of(60), key: (each) => each, item });
  expect(screen.getAllByRole("listitem")).toHaveLength(60);
});

test("of a long list no more is in the page than can be seen", () => {
  render(List<string>, { items: of(500), key: (each) => each, item });
  expect(screen.getByRole("list")).toBeTruthy();
  expect(screen.queryAllByRole("listitem").length).toBeLessThan(60);
});
