import { newId } from "./database/database.ts";
import type { JobRecord, Settings } from "./database/schema.ts";

/** An empty job, with the shop's own names filled in from the settings. */
export function newJob(settings: Settings, now: string): JobRecord {
  return {
    format: "plumbshot-app-job",
    version: 2,
    id: newId(),
    title: "",
    invented: false,
    createdAt: now,
    updatedAt: now,
    car: {
      description: "",
      plate: "",
      vin: "",
      odometer: "",
      customer: "",
      wheelbaseMm: null,
      reason: "",
      reasonNote: "",
      checks: {},
    },
    bay: { name: "", note: "", checks: {} },
    boards: {
      cellMm: 13,
      barHorizontal: { nominalMm: 150, readingMm: null },
      barVertical: { nominalMm: 150, readingMm: null },
      readingSdMm: 0.15,
      setName: "",
      sets: [],
      lengths: [],
      statements: {},
    },
    camera: { source: "sheet photos", profileId: null },
    photos: { positions: 1, positionKind: "rolled", setups: 1 },
    placement: { sheet: null, step: "", readings: [] },
    record: {
      technician: settings.technician,
      shop: settings.shop,
      procedure: "",
      note: "",
      scanBefore: "",
      scanAfter: "",
      checks: {},
      closedAt: null,
      attachments: [],
    },
    standings: [],
    backedUpAt: null,
    revision: 0,
  };
}
