import { ensureChromium, ensureDebian, onPath } from "./debian.ts";

/** Runs once before all tests: what the tests need from the machine, or a clear sentence. */
export default function setup(): void {
  ensureChromium();
  ensureDebian(() => onPath("pdftoppm"), ["poppler-utils"], "The print test");
}
