import "fake-indexeddb/auto";
import { describe, expect, test } from "vitest";
import {
  acceptanceFile,
  acceptanceLacks,
  emptyDraft,
  fewestRoundPhotos,
  withAcceptance,
} from "../../../src/app/library/acceptance.ts";
import { jobFileInput } from "../../../src/app/state/job-file.ts";
import {
  type AcceptanceDraft,
  loadAcceptance,
  saveAcceptance,
} from "../../../src/app/store/acceptance.ts";
import { plainJob } from "./app-store.ts";

const words = { title: "test", shop: "shop", round: (number: number) => `round ${number}` };

const filled = (): AcceptanceDraft => {
  const draft = emptyDraft();
  const photos = Array.from({ length: fewestRoundPhotos }, (_, i) => ({
    name: `p${i}`,
    outcome: { ok: false, name: `p${i}` } as never,
  }));
  return {
    ...draft,
    lengths: draft.lengths.map((length) => ({ ...length, readingsMm: [2000, null, 2001] })),
    rounds: draft.rounds.map((round) => ({ ...round, photos })),
  };
};

describe("the acceptance test as typed", () => {
  test("says what is lacking, one thing after the other", () => {
    expect(acceptanceLacks(emptyDraft())).toBe("lengths");
    expect(acceptanceLacks({ ...filled(), fixedMm: null })).toBe("numbers");
    expect(acceptanceLacks({ ...filled(), rounds: [] })).toBe("rounds");
    expect(acceptanceLacks({ ...filled(), rounds: emptyDraft().rounds })).toBe("photos");
    expect(acceptanceLacks(filled())).toBeNull();
  });

  test("becomes an acceptance file; empty readings and lengths are left out", () => {
    const draft = filled();
    const empty = { ...draft.lengths[1], id: "x", from: null, to: null };
    const parsed = acceptanceFile(
      { ...draft, lengths: [...draft.lengths, empty] },
      words,
      new Map(),
    );
    if (!parsed.ok) throw new Error(parsed.problems.join("\n"));
    const { file } = parsed;
    expect(file.scale).toHaveLength(1);
    expect(file.lengths).toHaveLength(draft.lengths.length - 1);
    expect(file.lengths[0].readingsMm).toEqual([2000, 2001]);
    expect(file.instruments.map(({ name }) => name)).toEqual(["tape", "laser"]);
    expect(file.rounds.map(({ name }) => name)).toEqual(["round 1", "round 2"]);
  });

  test("two instruments of one name are told apart; a bar without its certificate is refused", () => {
    const draft = filled();
    const twins = draft.instruments.map((instrument) => ({ ...instrument, name: "mine" }));
    const parsed = acceptanceFile({ ...draft, instruments: twins }, words, new Map());
    expect(parsed.ok && parsed.file.instruments.map(({ name }) => name)).toEqual([
      "mine",
      "mine 2",
    ]);
    const bars = draft.instruments.map((i) => ({ ...i, kind: "calibrated length" as const }));
    expect(acceptanceFile({ ...draft, instruments: bars }, words, new Map()).ok).toBe(false);
  });

  test("is kept on the device, and new jobs carry rule and last test", async () => {
    expect(await loadAcceptance()).toBeNull();
    const stored = { draft: filled(), result: null, stale: false };
    await saveAcceptance(stored);
    expect(await loadAcceptance()).toEqual(stored);
    const job = withAcceptance(plainJob(), stored);
    expect(jobFileInput(job, [])).toMatchObject({ acceptance: { everyDays: 365, last: null } });
    expect(withAcceptance(plainJob(), null)).toEqual(plainJob());
  });
});
