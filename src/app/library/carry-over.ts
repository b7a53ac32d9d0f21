import { type JobRecord, takenParts } from "../store/database/schema.ts";
import { isRead, printSetsOf } from "./print-sets.ts";

/**
 * What a new job takes over from the shop's last one: prints with their readings, plates, target,
 * length bars, the phone's lens. Shown as taken over, and given back in one tap.
 */
export type TakenPart = (typeof takenParts)[number];

/** Ends of bars of known length (boards 51 to 58): they stay the same from job to job. */
const isBar = ({ from, to }: { readonly from: number | null; readonly to: number | null }) =>
  [from, to].every((id) => id !== null && id >= 51 && id <= 58);

/** The new job with everything of the last one that belongs to the shop and not to the car. */
export function takeOver(
  fresh: JobRecord,
  last: JobRecord | undefined,
  profileIds: readonly string[],
): JobRecord {
  if (!last) {
    return fresh;
  }
  const lens = lensOf(last, profileIds);
  const { barHorizontal, barVertical, readingSdMm, cellMm, setName, sets, lengths, statements } =
    last.boards;
  const checked = printSetsOf(last).some(isRead);
  const bars = lengths.filter(isBar);
  const { wheelPlates, targets } = statements;
  const taken: Readonly<Record<TakenPart, boolean>> = {
    prints: checked,
    lengths: bars.length > 0,
    plates: wheelPlates !== undefined,
    target: Array.isArray(targets) && targets.length > 0,
    lens: lens !== null,
  };
  return {
    ...fresh,
    boards: {
      ...fresh.boards,
      ...(checked ? { barHorizontal, barVertical, readingSdMm, cellMm, setName, sets } : {}),
      lengths: bars,
      statements: {
        ...fresh.boards.statements,
        ...(taken.plates ? { wheelPlates } : {}),
        ...(taken.target ? { targets } : {}),
      },
    },
    camera: lens === null ? fresh.camera : { source: "saved profile", profileId: lens },
    takenOver: {
      from: last.updatedAt,
      parts: takenParts.filter((part) => taken[part]),
    },
  };
}

/** The lens that the last job used or gave, if it was kept for this phone. */
function lensOf(last: JobRecord, profileIds: readonly string[]): string | null {
  const own = last.camera.source === "saved profile" ? last.camera.profileId : last.id;
  return own !== null && profileIds.includes(own) ? own : (profileIds.at(-1) ?? null);
}

/** The job without a part that was taken over: to be entered anew. */
export function giveBack(record: JobRecord, part: TakenPart): JobRecord {
  const { boards } = record;
  const { wheelPlates: _plates, ...noPlates } = boards.statements;
  const { targets: _targets, ...noTargets } = boards.statements;
  const parts = record.takenOver?.parts.filter((item) => item !== part) ?? [];
  const rest = { ...record, takenOver: record.takenOver && { ...record.takenOver, parts } };
  switch (part) {
    case "prints":
      return {
        ...rest,
        boards: {
          ...boards,
          barHorizontal: { ...boards.barHorizontal, readingMm: null },
          barVertical: { ...boards.barVertical, readingMm: null },
          setName: "",
          sets: [],
        },
      };
    case "lengths":
      return { ...rest, boards: { ...boards, lengths: boards.lengths.filter((l) => !isBar(l)) } };
    case "plates":
      return { ...rest, boards: { ...boards, statements: noPlates } };
    case "target":
      return { ...rest, boards: { ...boards, statements: noTargets } };
    case "lens":
      return { ...rest, camera: { source: "sheet photos", profileId: null } };
  }
}

/** The part is the shop's own again as soon as somebody changed or confirmed it. */
export const wasTakenOver = (record: Pick<JobRecord, "takenOver">, part: TakenPart): boolean =>
  record.takenOver?.parts.includes(part) ?? false;
