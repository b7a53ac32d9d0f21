/**
 * A placement sheet while a person fills it in: the same document as `sheet.ts` describes, in which
 * numbers may still be missing. Pure functions take a draft and give a new one; ids are made here,
 * so that nobody types them. Fields that this module does not know are kept as they are.
 */
import { z } from "zod";
import { type Check, type CheckKind, placementFormat, placementVersion } from "./sheet.ts";
import { targetKinds } from "./target-kinds.ts";

/** Every kind of check, in the order in which a sheet lists them. */
export const checkKinds = [
  "distance",
  "lateral offset",
  "height",
  "yaw",
  "pitch",
  "roll",
  "straight distance",
  "range",
  "bearing",
  "equal diagonals",
  "parallel",
  "mat corner along",
  "mat corner across",
  "floor flatness",
  "floor slope",
  "free space",
] as const satisfies readonly CheckKind[];

const number = z.number().nullable().catch(null);
const text = z.string().catch("");

const checkDraftSchema = z.looseObject({
  kind: z.enum(checkKinds),
  id: z.string(),
  required: number,
  lowerDeviation: number,
  upperDeviation: number,
  reference: text,
});
/** One check in the making; what its kind needs besides the numbers lies beside them. */
export type CheckDraft = z.infer<typeof checkDraftSchema>;

const tiltDraftSchema = z.looseObject({
  label: text,
  pitch: number,
  lowerDeviation: number,
  upperDeviation: number,
  reference: text,
});
export type TiltDraft = z.infer<typeof tiltDraftSchema>;

const targetDraftSchema = z.looseObject({
  name: text,
  kind: z.enum(targetKinds).catch("board"),
  facing: z.enum(["rearward", "forward", "left", "right", "up"]).catch("rearward"),
});
export type TargetDraft = z.infer<typeof targetDraftSchema>;

const stepDraftSchema = z.looseObject({
  id: z.string(),
  title: text,
  target: targetDraftSchema,
  checks: z.array(checkDraftSchema),
  tiltSteps: z.array(tiltDraftSchema).optional(),
});
export type StepDraft = z.infer<typeof stepDraftSchema>;

export const sheetDraftSchema = z.looseObject({
  title: text,
  source: text,
  invented: z.boolean().catch(false),
  origin: z.looseObject({ kind: z.string() }).catch({ kind: "front-axle line" }),
  axis: z.enum(["geometric centreline", "thrust line"]).catch("geometric centreline"),
  heightReference: z
    .enum(["floor under the target", "floor under the car"])
    .catch("floor under the target"),
  steps: z.array(stepDraftSchema).min(1),
});
export type SheetDraft = z.infer<typeof sheetDraftSchema>;

/** The sheet as a draft, or null where it is too damaged to be shown as one. */
export const draftOf = (sheet: unknown): SheetDraft | null => {
  const parsed = sheetDraftSchema.safeParse(sheet);
  return parsed.success ? parsed.data : null;
};

/** An empty sheet: one step without a check, nothing that could pass for a real number. */
export const blankDraft = (title: string, target: TargetDraft): SheetDraft => ({
  format: placementFormat,
  version: placementVersion,
  title,
  invented: false,
  source: "",
  origin: { kind: "front-axle line" },
  axis: "geometric centreline",
  heightReference: "floor under the target",
  steps: [{ id: "step-1", title, target, checks: [] }],
});

/** The first of `base`, `base-2`, `base-3` … that is not taken. */
const freeId = (base: string, taken: readonly string[]): string => {
  for (let count = 1; ; count++) {
    const id = count === 1 ? base : `${base}-${count}`;
    if (!taken.includes(id)) return id;
  }
};

/** Short names for ids: they stand in files and in the record's data, not on screens. */
const idOf = (kind: CheckKind): string =>
  kind === "lateral offset" ? "sideways" : kind.replaceAll(" ", "-");

const target = { kind: "target" } as const;

/** What a kind needs besides its numbers, as most procedures mean it. */
const extrasOf = (kind: CheckKind, step: StepDraft): Record<string, unknown> => {
  switch (kind) {
    case "straight distance":
    case "range":
    case "bearing":
      return {
        from: { kind: "axle midpoint", axle: rearKinds(step) ? "rear" : "front" },
        to: target,
      };
    case "equal diagonals":
      return { first: diagonal("left", "right"), second: diagonal("right", "left") };
    case "parallel":
      return { axle: "front" };
    case "mat corner along":
    case "mat corner across":
      return { corner: freeCorner(kind, step) };
    case "free space":
      return { from: target, obstacles: [{ kind: "floor board", board: "21" }] };
    default:
      return {};
  }
};

const rearKinds = (step: StepDraft): boolean => step.target.kind === "corner reflector";

const diagonal = (wheel: "left" | "right", corner: "left" | "right") => [
  { kind: "wheel centre", wheel: `front ${wheel}` },
  { kind: "target corner", corner: `upper ${corner}` },
];

const corners = ["upper left", "upper right", "lower left", "lower right"];
/** The first corner that has no check of this kind yet. */
const freeCorner = (kind: CheckKind, step: StepDraft): string =>
  corners.find((corner) => !step.checks.some((c) => c.kind === kind && c.corner === corner)) ??
  corners[0];

/** Kinds that have one number, the limit: everything on its good side is right. */
export const limitOnly: Readonly<Partial<Record<CheckKind, "at most" | "at least">>> = {
  "floor flatness": "at most",
  "free space": "at least",
};

/** Kinds whose required value is zero in nearly every procedure; shown, and open to change. */
const zeroKinds: ReadonlySet<CheckKind> = new Set([
  "equal diagonals",
  "parallel",
  "floor flatness",
  "floor slope",
]);

export const newCheck = (kind: CheckKind, step: StepDraft): CheckDraft => ({
  kind,
  id: freeId(
    idOf(kind),
    step.checks.map(({ id }) => id),
  ),
  required: zeroKinds.has(kind) ? 0 : null,
  lowerDeviation: null,
  upperDeviation: null,
  reference: "",
  ...extrasOf(kind, step),
});

const replaced = <Item>(list: readonly Item[], at: number, item: Item): Item[] =>
  list.map((old, index) => (index === at ? item : old));

export const withStepDraft = (draft: SheetDraft, at: number, step: StepDraft): SheetDraft => ({
  ...draft,
  steps: replaced(draft.steps, at, step),
});

/** The step with another check of this kind at its end. */
export const addCheck = (step: StepDraft, kind: CheckKind): StepDraft => ({
  ...step,
  checks: [...step.checks, newCheck(kind, step)],
});

export const changeCheck = (
  step: StepDraft,
  at: number,
  change: Partial<CheckDraft>,
): StepDraft => ({
  ...step,
  checks: replaced(step.checks, at, { ...step.checks[at], ...change } as CheckDraft),
});

export const removeCheck = (step: StepDraft, at: number): StepDraft => ({
  ...step,
  checks: step.checks.filter((_, index) => index !== at),
});

/** A further step with the same target and checks, numbers left out. */
export const addStep = (draft: SheetDraft, title: string): SheetDraft => ({
  ...draft,
  steps: [
    ...draft.steps,
    {
      id: freeId(
        `step-${draft.steps.length + 1}`,
        draft.steps.map(({ id }) => id),
      ),
      title,
      target: { ...draft.steps[0].target },
      checks: [],
    },
  ],
});

export const removeStep = (draft: SheetDraft, at: number): SheetDraft => ({
  ...draft,
  steps: draft.steps.filter((_, index) => index !== at),
});

/** Tilts of a reflector plate as one row of angles; an empty row takes them away. */
export const withTilts = (step: StepDraft, tilts: readonly TiltDraft[]): StepDraft => {
  const { tiltSteps: _old, ...rest } = step;
  return (tilts.length > 0 ? { ...rest, tiltSteps: [...tilts] } : rest) as StepDraft;
};

/** The way in which a tolerance is written in the maker's page. */
export type ToleranceWay = "plus-minus" | "two sides" | "at most" | "at least";

/** How the stored deviations would be written; null while none is entered. */
export const toleranceWay = ({
  lowerDeviation: lower,
  upperDeviation: upper,
}: Pick<CheckDraft, "lowerDeviation" | "upperDeviation">): ToleranceWay | null => {
  if (lower === null && upper === null) return null;
  if (lower === null) return "at most";
  if (upper === null) return "at least";
  return -lower === upper ? "plus-minus" : "two sides";
};

/** What is still to be entered, for a list of what is missing. */
export interface Missing {
  readonly step: number;
  /** Index of the check; null for the step itself. */
  readonly check: number | null;
  readonly what: "value" | "tolerance" | "check" | "target";
}

export const missingIn = (draft: SheetDraft): Missing[] =>
  draft.steps.flatMap((step, at) => [
    ...(step.target.name.trim() === "" ? [{ step: at, check: null, what: "target" as const }] : []),
    ...(step.checks.length === 0 && !step.tiltSteps?.length
      ? [{ step: at, check: null, what: "check" as const }]
      : []),
    ...step.checks.flatMap((check, index): Missing[] =>
      check.required === null
        ? [{ step: at, check: index, what: "value" }]
        : toleranceWay(check) === null
          ? [{ step: at, check: index, what: "tolerance" }]
          : [],
    ),
  ]);

/** Kinds that one step asks for once only. */
const severalOf: ReadonlySet<CheckKind> = new Set<Check["kind"]>([
  "straight distance",
  "range",
  "bearing",
  "mat corner along",
  "mat corner across",
  "height",
  "free space",
]);
export const mayRepeat = (kind: CheckKind): boolean => severalOf.has(kind);
