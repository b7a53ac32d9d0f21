import type { Page } from "playwright-core";
export async function countFaces(_page: Page) {
  return { found: 0, total: 0, onBoards: 0, lines: [] as string[] };
}
