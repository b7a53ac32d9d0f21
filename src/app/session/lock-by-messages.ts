import { z } from "zod";
import { inBackground } from "../state/failures.ts";
import { newId } from "../store/database/database.ts";

/** What a tab hears about its right to write a job. */
export interface LockEvents {
  /** This tab may write now. */
  onHeld(): void;
  /** Another tab has the job. */
  onWaiting(): void;
}

/**
 * The right to write, agreed among tabs by messages, for browsers without Web Locks. A tab asks who
 * has the job; without an answer it takes it. A tab that sleeps cannot answer: what it writes when
 * it wakes is caught by the revision of the stored job (`saveJobIfUnchanged`).
 */
const messageSchema = z.object({
  kind: z.enum(["who has it", "I have it", "I take it", "it is free"]),
  from: z.string(),
});
type Message = z.infer<typeof messageSchema>;

/** A tab that is awake answers within a few milliseconds. */
const answerMs = 200;

/** Resolves once it is known whether the right is held; later changes come as events. */
export async function holdByMessages(
  name: string,
  takeOver: boolean,
  signal: AbortSignal,
  events: LockEvents,
): Promise<void> {
  if (!("BroadcastChannel" in globalThis)) {
    events.onHeld();
    return;
  }
  const channel = new BroadcastChannel(name);
  const me = newId();
  let held = false;
  let answered = false;
  const say = (kind: Message["kind"]) => channel.postMessage({ kind, from: me } satisfies Message);
  const take = (kind: "I have it" | "I take it") => {
    held = true;
    say(kind);
    events.onHeld();
  };
  const yieldTo = () => {
    held = false;
    events.onWaiting();
  };
  const ask = async (): Promise<void> => {
    answered = false;
    say("who has it");
    await new Promise((resolve) => setTimeout(resolve, answerMs));
    if (!signal.aborted && !held && !answered) {
      take("I have it");
    }
  };
  const hear = ({ kind, from }: Message) => {
    if (kind === "I take it") {
      answered = true;
      if (held) {
        yieldTo();
      }
    } else if (kind === "who has it" && held) {
      say("I have it");
    } else if (kind === "I have it") {
      answered = true;
      // Two tabs asked at the same moment and both took it: the smaller name keeps it.
      if (held && from < me) {
        yieldTo();
      } else if (held) {
        say("I have it");
      }
    } else if (kind === "it is free" && !held) {
      inBackground(ask());
    }
  };
  channel.addEventListener("message", (event) => {
    const message = messageSchema.safeParse(event.data);
    if (message.success) {
      hear(message.data);
    }
  });
  const release = () => {
    if (held) {
      held = false;
      say("it is free");
    }
  };
  // A closed tab, or one that the browser puts aside and may bring back.
  window.addEventListener("pagehide", release, { signal });
  window.addEventListener("pageshow", (event) => event.persisted && inBackground(ask()), {
    signal,
  });
  signal.addEventListener("abort", () => {
    release();
    channel.close();
  });
  if (takeOver) {
    take("I take it");
    return;
  }
  await ask();
  if (!held) {
    events.onWaiting();
  }
}
