import { useCallback, useContext, useSyncExternalStore } from "react";
import { JobContext } from "../../context/app-context.ts";
import { withUnread } from "../../state/unread.ts";

const never = () => () => {};

/**
 * The text of a field that could not be read, kept in the job so that it is still there when the
 * screen is opened again; outside a job nothing is kept. `at`: the field's place in the job.
 */
export function useUnread(
  at: string,
  label: string,
): readonly [text: string | null, set: (text: string | null) => void] {
  const session = useContext(JobContext);
  const text = useSyncExternalStore(session?.store.subscribe ?? never, () =>
    session ? (session.store.getState().record.unread?.[at]?.text ?? null) : null,
  );
  const set = useCallback(
    (next: string | null) => {
      const present = session?.store.getState().record.unread?.[at]?.text ?? null;
      if (session && present !== next) {
        session.update((record) =>
          withUnread(record, at, next === null ? null : { label, text: next }),
        );
      }
    },
    [session, at, label],
  );
  return [text, set];
}
