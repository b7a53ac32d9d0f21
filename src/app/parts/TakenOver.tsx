import { useApp, useJob } from "../context/app-context.ts";
import { giveBack, type TakenPart, wasTakenOver } from "../library/carry-over.ts";
import { inBackground } from "../state/failures.ts";

/** Says that a part came from the last job; one tap empties it. */
export function TakenOver({ part }: { readonly part: TakenPart }) {
  const { t, when } = useApp();
  const { session, state } = useJob();
  const { record } = state;
  if (!wasTakenOver(record, part)) {
    return null;
  }
  return (
    <p className="taken-over" data-testid={`taken-${part}`}>
      <span>{t("taken.from", { when: when(record.takenOver?.from ?? record.createdAt) })}</span>
      <button
        type="button"
        className="chip"
        onClick={() =>
          part === "lens"
            ? inBackground(
                session
                  .chooseCamera("sheet photos", null)
                  .then(() => session.update((job) => giveBack(job, part))),
              )
            : session.update((job) => giveBack(job, part))
        }
      >
        {t("taken.giveBack")}
      </button>
    </p>
  );
}
