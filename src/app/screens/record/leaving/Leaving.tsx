import { useEffect, useState } from "react";
import { useApp } from "../../../context/app-context.ts";
import { Button } from "../../../parts/Button.tsx";
import { ChoiceField } from "../../../parts/fields/Fields.tsx";
import { Notice } from "../../../parts/Notice.tsx";
import { Progress } from "../../../parts/Progress.tsx";
import type { LeavingPhoto, LeavingWay } from "../../../record/leaving.ts";
import { inBackground } from "../../../state/failures.ts";
import { loadCovers } from "../../../store/records/covers.ts";
import { LookAtPhotos } from "./LookAtPhotos.tsx";
import { useCovering } from "./use-covering.ts";

interface LeavingProps {
  /** Ways that this file knows; the first choice is the user's where `start` is null. */
  readonly ways: readonly LeavingWay[];
  readonly start: LeavingWay | null;
  readonly photos: readonly LeavingPhoto[];
  readonly action: string;
  readonly busy: boolean;
  readonly onMake: (way: LeavingWay) => void;
  readonly onClose: () => void;
}

/** Asks how photos go along with what is about to leave; covered ones are looked at first. */
export function Leaving(props: LeavingProps) {
  const { ways, start, photos, action, busy, onMake, onClose } = props;
  const { t } = useApp();
  const [way, setWay] = useState(start);
  const [unseen, setUnseen] = useState<number | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const covering = useCovering(photos);
  useEffect(() => {
    const count = async () => {
      const covers = await loadCovers(photos.map(({ id }) => id));
      setUnseen(photos.filter(({ id }) => !covers.has(id)).length);
    };
    inBackground(count());
  }, [photos]);
  const look = async () => {
    setProblem(null);
    try {
      await covering.look();
    } catch (error) {
      setProblem(t("copies.failed", { reason: error instanceof Error ? error.message : "" }));
    }
  };
  const mustLook = way === "covered" && unseen !== 0 && !covering.shown;
  const make = async (chosen: LeavingWay) => {
    if (chosen === "covered" && covering.shown) {
      await covering.keep();
    }
    onMake(chosen);
  };
  return (
    <section className="leaving" aria-label={t("leaving.title")} data-testid="leaving">
      <ChoiceField
        label={t("leaving.title")}
        value={way ?? ""}
        choices={ways.map((value) => ({ value, label: t(`leaving.${value}`) }))}
        onChange={(value) => setWay(value as LeavingWay)}
        hint={way ? t(`leaving.hint.${way}`) : undefined}
      />
      {problem ? <Notice kind="error" title={problem} /> : null}
      {way === "covered" && unseen && !covering.shown ? (
        <p role="status">{t("leaving.unseen", { count: unseen })}</p>
      ) : null}
      {covering.share !== null ? (
        <Progress label={t("copies.working")} share={covering.share} />
      ) : null}
      {way === "covered" && covering.shown ? (
        <LookAtPhotos shown={covering.shown} onChange={covering.change} />
      ) : null}
      <div className="button-row">
        {way === "covered" && !covering.shown ? (
          <Button
            kind={mustLook ? "now" : "plain"}
            disabled={covering.share !== null}
            onClick={look}
            data-testid="leaving-look"
          >
            {t("leaving.look")}
          </Button>
        ) : null}
        <Button
          icon="save"
          kind={way && !mustLook ? "now" : "plain"}
          disabled={busy || way === null || mustLook}
          onClick={() => way && inBackground(make(way))}
          data-testid="leaving-make"
        >
          {busy ? t("handOver.making") : action}
        </Button>
        <Button kind="bare" onClick={onClose}>
          {t("leaving.close")}
        </Button>
      </div>
    </section>
  );
}
