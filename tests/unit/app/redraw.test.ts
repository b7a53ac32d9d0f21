// @vitest-environment happy-dom
/** A photo that is being examined draws its own tile and the progress again, not the whole job. */
import { act, createElement } from "react";
import { createRoot, type Root } from "react-dom/client";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { createStore, type StoreApi } from "zustand/vanilla";
import {
  AppContext,
  type AppContextValue,
  JobContext,
} from "../../../src/app/context/app-context.ts";
import { inventedJob } from "../../../src/app/fixtures/invented-job.ts";
import { StageList } from "../../../src/app/screens/job/StageList.tsx";
import { TroubleLines } from "../../../src/app/screens/job/TroubleLines.tsx";
import { WorkLine } from "../../../src/app/screens/job/WorkLine.tsx";
import { PhotoGrid } from "../../../src/app/screens/photos/PhotoGrid.tsx";
import type { JobSession } from "../../../src/app/session/job-session.ts";
import type { JobState } from "../../../src/app/state/job-state.ts";
import type { PhotoRecord } from "../../../src/app/store/database/schema.ts";

const count = 40;
const photos = Array.from(
  { length: count },
  (_, at): PhotoRecord => ({
    ...{ id: `p${at}`, jobId: "j", name: `IMG_${at}.jpg`, purpose: "boards", position: 1 },
    ...{ setup: 1, epoch: "before", about: "", addedAt: "2026-01-01", byteLength: 1 },
    ...{ fingerprint: `f${at}`, thumb: null, removed: false },
  }),
);

const state = {
  ...{ record: inventedJob(), photos, outcomes: new Map(), working: new Set() },
  ...{
    paused: false,
    loading: null,
    computing: null,
    camera: null,
    guidance: null,
    plan: null,
    planFailure: null,
  },
  ...{
    profile: null,
    otherLenses: [],
    result: null,
    keptSteps: new Map(),
    revisions: [],
    failure: null,
    refusals: [],
  },
  ...{ undo: [], writable: true, trouble: null },
} as unknown as JobState;

describe("screens of an open job", () => {
  let root: Root;
  let store: StoreApi<JobState>;
  let said: string[] = [];

  beforeEach(async () => {
    (globalThis as { IS_REACT_ACT_ENVIRONMENT?: boolean }).IS_REACT_ACT_ENVIRONMENT = true;
    store = createStore<JobState>(() => state);
    const app = {
      t: (key: string) => {
        said.push(key);
        return key;
      },
    } as unknown as AppContextValue;
    const screens = [
      createElement(TroubleLines, { key: 1 }),
      createElement(WorkLine, { key: 2 }),
      createElement(StageList, { key: 3, current: null }),
      createElement(PhotoGrid, { key: 4, photos }),
    ];
    root = createRoot(document.body.appendChild(document.createElement("div")));
    await act(async () => {
      root.render(
        createElement(
          AppContext,
          { value: app },
          createElement(JobContext, { value: { store } as unknown as JobSession }, screens),
        ),
      );
    });
    said = [];
  });
  afterEach(async () => act(async () => root.unmount()));

  const change = (part: Partial<JobState>) => act(async () => store.setState(part));

  test("begin with one photo: its tile and the line that says what runs", async () => {
    await change({ working: new Set(["p3"]) });
    expect(said).toContain("photo.working");
    // A tile says two things; forty of them would say eighty.
    expect(said.filter((key) => key.startsWith("photo.")).length).toBeLessThanOrEqual(4);
    expect(said.some((key) => key.startsWith("stage."))).toBe(false);
    expect(document.querySelectorAll("[data-state=working]")).toHaveLength(1);
  });

  test("draw nothing at all for what no screen shows", async () => {
    await change({ guidance: null, keptSteps: new Map() });
    expect(said).toEqual([]);
  });

  test("say a trouble without drawing the photos again", async () => {
    await change({ trouble: "storage full" });
    expect(said).toContain("trouble.full");
    expect(said.some((key) => key.startsWith("photo."))).toBe(false);
  });
});
