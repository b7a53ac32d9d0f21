/** What a watch leaves behind: events, and every board's course in bounded memory. */
import { z } from "zod";
import type { WatchEvent, WatchState } from "./watch.ts";

export const watchLogFormat = "plumbshot-watch";
export const watchLogVersion = 1;

/** Samples of the course at most; when it is full, neighbours are joined and it goes on half as fine. */
const mostSamples = 1024;
/** Events at most; what comes later is counted only. */
const mostEvents = 400;

const axis = z.number().describe("mm");
const bodySchema = z.union([z.number().int(), z.literal("stand")]).describe("board, or the stand");
const at = z.number().describe("ms since the watch began");
const eventSchema = z.discriminatedUnion("kind", [
  z.object({ kind: z.literal("watching"), at, boards: z.array(z.number().int()) }),
  z.object({
    kind: z.literal("moved"),
    at,
    body: bodySchema,
    sidewaysMm: axis,
    depthMm: axis.describe("mm, positive away from the phone"),
    sidewaysU: axis.describe("expanded uncertainty, k = 2"),
    depthU: axis.describe("expanded uncertainty, k = 2"),
    by: z.enum(["sideways", "depth"]),
  }),
  z.object({ kind: z.literal("phone moved"), at, px: z.number() }),
  z.object({ kind: z.literal("begun anew"), at }),
  z.object({ kind: z.literal("hidden"), at, board: z.number().int(), seconds: z.number() }),
  z.object({ kind: z.literal("not seen"), at, seconds: z.number() }).describe("the page was away"),
]);
export type LogEvent =
  | WatchEvent
  | { readonly kind: "not seen"; readonly at: number; readonly seconds: number };

export const watchLogSchema = z.object({
  format: z.literal(watchLogFormat),
  version: z.literal(watchLogVersion),
  startedAt: z.string().describe("time of day, ISO 8601"),
  seconds: z.number().describe("how long was watched"),
  measurements: z.number().int(),
  limits: z.object({ sidewaysMm: axis, depthMm: axis, falseAlarmsPerHour: z.number() }),
  events: z.array(eventSchema),
  eventsLeftOut: z.number().int(),
  courses: z.array(
    z.object({
      board: z.number().int(),
      samples: z.array(
        z.object({
          at,
          least: z.tuple([axis, axis, axis]),
          most: z.tuple([axis, axis, axis]),
          band: z.tuple([axis, axis, axis]),
        }),
      ),
    }),
  ),
});
export type WatchLogFile = z.infer<typeof watchLogSchema>;

/** Least and most of a board's movement since the sample before: right, down, away, mm. */
export interface Sample {
  readonly at: number;
  readonly least: [number, number, number];
  readonly most: [number, number, number];
  readonly band: [number, number, number];
}

export class WatchLog {
  readonly events: LogEvent[] = [];
  readonly courses = new Map<number, Sample[]>();
  private eventsLeftOut = 0;
  private measurements = 0;
  private last = 0;
  /** Measurements joined in one sample. */
  private readonly joined = new Map<number, { per: number; open: Sample | null; count: number }>();

  add(at: number, { boards, events }: Pick<WatchState, "boards" | "events">): void {
    this.measurements++;
    this.last = at;
    for (const event of events) this.note(event);
    for (const { id, mm, band } of boards) if (mm) this.sample(id, at, [...mm], [...band]);
  }

  note(event: LogEvent): void {
    if (this.events.length < mostEvents) this.events.push(event);
    else this.eventsLeftOut++;
  }

  private sample(
    id: number,
    at: number,
    mm: [number, number, number],
    band: [number, number, number],
  ): void {
    const course = this.courses.get(id) ?? [];
    this.courses.set(id, course);
    const state = this.joined.get(id) ?? { per: 1, open: null, count: 0 };
    this.joined.set(id, state);
    const one: Sample = { at, least: mm, most: [...mm], band };
    state.open = state.open ? join(state.open, one) : one;
    if (++state.count < state.per) return;
    course.push(state.open);
    state.open = null;
    state.count = 0;
    if (course.length < mostSamples) return;
    for (let i = 0; i < mostSamples / 2; i++) course[i] = join(course[2 * i], course[2 * i + 1]);
    course.length = mostSamples / 2;
    state.per *= 2;
  }

  /** `startedAt`: ISO 8601. */
  file(startedAt: string, limits: WatchLogFile["limits"]): WatchLogFile {
    const rounded = (values: [number, number, number]) =>
      values.map((value) => Number(value.toFixed(3))) as [number, number, number];
    return {
      format: watchLogFormat,
      version: watchLogVersion,
      startedAt,
      seconds: Math.round(this.last / 1000),
      measurements: this.measurements,
      limits,
      events: this.events.map((event) =>
        event.kind === "watching" ? { ...event, boards: [...event.boards] } : { ...event },
      ),
      eventsLeftOut: this.eventsLeftOut,
      courses: [...this.courses].map(([board, samples]) => ({
        board,
        samples: samples.map(({ at, least, most, band }) => ({
          at: Math.round(at),
          least: rounded(least),
          most: rounded(most),
          band: rounded(band),
        })),
      })),
    };
  }
}

const join = (a: Sample, b: Sample): Sample => ({
  at: b.at,
  least: both(a.least, b.least, Math.min),
  most: both(a.most, b.most, Math.max),
  band: both(a.band, b.band, Math.max),
});

const both = (
  a: readonly number[],
  b: readonly number[],
  of: (x: number, y: number) => number,
): [number, number, number] => [of(a[0], b[0]), of(a[1], b[1]), of(a[2], b[2])];
