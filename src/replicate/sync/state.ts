/** What a device remembers of a store between two replications, "plumbshot-replica-state", version 1. */
import { z } from "zod";
import { sha256Schema } from "../../record/sha256.ts";
import { entrySchema, type Lane, lanes } from "../formats/entry.ts";
import { type Covers, coversSchema } from "../formats/index-object.ts";

const laneStateSchema = z.object({
  /** Index objects that this device has written in this lane. */
  sequence: z.number().int().nonnegative(),
  /** Names of the index objects that were read, by month. */
  months: z.record(z.string(), z.array(z.string())),
  /** The newest day of which everything was read. */
  cursor: z.string().nullable(),
  /** When all months were last listed, ms since 1970 by this device's clock. */
  fullAt: z.number(),
  covers: coversSchema,
  /** Gaps seen the last time: said only when they are seen again. */
  gaps: z.array(z.string()),
});
export type LaneState = z.infer<typeof laneStateSchema>;

export const replicaStateSchema = z.object({
  format: z.literal("plumbshot-replica-state"),
  version: z.literal(1),
  device: z.string().min(1),
  lanes: z.record(z.enum(lanes), laneStateSchema),
  /** Stored, but not yet named by an index object. */
  stored: z.array(entrySchema),
  /** The object that was being stored: it may be there, in part or whole. */
  inFlight: sha256Schema.nullable(),
});
export type ReplicaState = z.infer<typeof replicaStateSchema>;

const newLane = (): LaneState => ({
  sequence: 0,
  months: {},
  cursor: null,
  fullAt: 0,
  covers: {} as Covers,
  gaps: [],
});

export const newReplicaState = (device: string): ReplicaState => ({
  format: "plumbshot-replica-state",
  version: 1,
  device,
  lanes: Object.fromEntries(lanes.map((lane) => [lane, newLane()])) as Record<Lane, LaneState>,
  stored: [],
  inFlight: null,
});
