import { svelte } from "@sveltejs/vite-plugin-svelte";
import { svelteTesting } from "@testing-library/svelte/vite";
import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

const page = (name: string): string => fileURLToPath(new URL(name, import.meta.url));

export default defineConfig({
  base: "./",
  plugins: [svelte(), svelteTesting()],
  build: {
    target: "es2022",
    // The webviews of the native shell and the browsers of the crew all know modules; nothing is inlined, so
    // that a strict content security policy needs no exception.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    rolldownOptions: {
      input: { tablet: page("index.html"), office: page("office.html") },
    },
  },
  test: {
    environment: "happy-dom",
    include: ["src/**/*.test.ts", "tests/**/*.test.ts"],
    restoreMocks: true,
  },
});
