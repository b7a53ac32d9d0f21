import { useState } from "react";
import { certificateOf } from "../../../acceptance/certificate/certificate.ts";
import type { AcceptanceResult } from "../../../acceptance/result/result.ts";
import type { StoredRemark } from "../../../say/remark.ts";
import { useApp } from "../../context/app-context.ts";
import { acceptanceFile, acceptanceLacks, fewestRoundPhotos } from "../../library/acceptance.ts";
import { saveFile } from "../../library/save-file.ts";
import { certificateSpeech } from "../../paper/certificate-speech.ts";
import { Button } from "../../parts/Button.tsx";
import { FoldedRemarks, Notice, Remarks } from "../../parts/Notice.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { Progress } from "../../parts/Progress.tsx";
import { recordTasks } from "../../record/record-tasks.ts";
import { inBackground } from "../../state/failures.ts";
import type { StoredAcceptance } from "../../store/acceptance.ts";
import { listProfiles } from "../../store/profiles.ts";

interface OutcomeProps {
  readonly stored: StoredAcceptance;
  readonly keep: (next: StoredAcceptance) => void;
}

type Trouble =
  | { readonly kind: "stopped" }
  | { readonly kind: "problems"; readonly problems: readonly string[] }
  | { readonly kind: "remarks"; readonly remarks: readonly StoredRemark[] };

/** Works the test out and shows it: outcome, every length, what limits it, the certificate. */
export function AcceptanceOutcome({ stored, keep }: OutcomeProps) {
  const { t, engine, settings } = useApp();
  const [working, setWorking] = useState(false);
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const { draft, result, stale } = stored;
  const work = async () => {
    setTrouble(null);
    setWorking(true);
    try {
      const profiles = await listProfiles();
      const testedAt = new Date().toISOString();
      const parsed = acceptanceFile(
        draft,
        {
          title: t("accept.fileTitle", { date: testedAt.slice(0, 10) }),
          shop: settings.shop,
          round: (number) => t("accept.round", { number }),
        },
        new Map(profiles.map(({ id, profile }) => [id, profile.identity.model ?? id])),
      );
      if (!parsed.ok) {
        setTrouble({ kind: "problems", problems: parsed.problems });
        return;
      }
      const rounds = draft.rounds.map(({ profileId, photos }) => {
        const known = profiles.find(({ id }) => id === profileId);
        return {
          camera: known
            ? ({ profile: known.profile, source: "saved profile", remarks: [] } as const)
            : null,
          outcomes: photos.map(({ outcome }) => outcome),
        };
      });
      const answer = await engine.accept({ file: parsed.file, rounds, testedAt });
      if (answer.ok) {
        keep({ draft, result: answer.result, stale: false });
      } else {
        setTrouble({ kind: "remarks", remarks: answer.remarks });
      }
    } catch (error) {
      console.error(error);
      setTrouble({ kind: "stopped" });
    } finally {
      setWorking(false);
    }
  };
  const lacks = acceptanceLacks(draft);
  return (
    <Panel title={t("accept.result")} testId="acceptance-result">
      {working ? (
        <Progress label={t("accept.working")} share={null} />
      ) : lacks !== null ? (
        <p className="quiet">{t(`accept.lacks.${lacks}`, { count: fewestRoundPhotos })}</p>
      ) : (
        <Button
          kind={result ? "plain" : "now"}
          onClick={() => inBackground(work())}
          data-testid="work-acceptance"
        >
          {t("accept.work")}
        </Button>
      )}
      {trouble ? <Troubles trouble={trouble} /> : null}
      {result && stale ? <Notice kind="warning" title={t("accept.changed")} /> : null}
      {result ? <Result result={result} everyDays={draft.everyDays ?? 365} /> : null}
    </Panel>
  );
}

function Troubles({ trouble }: { readonly trouble: Trouble }) {
  const { t } = useApp();
  switch (trouble.kind) {
    case "stopped":
      return <Notice kind="error" title={t("accept.stopped")} />;
    case "problems":
      return trouble.problems.map((problem) => (
        <Notice key={problem} kind="error" title={problem} />
      ));
    case "remarks":
      return <Remarks remarks={trouble.remarks} />;
  }
}

function Result(props: { readonly result: AcceptanceResult; readonly everyDays: number }) {
  const { result, everyDays } = props;
  const app = useApp();
  const { t, showUncertainty, when } = app;
  const mm = (value: number) => showUncertainty(value, "length", 2);
  const certificate = async () => {
    const paper = certificateOf(result, everyDays, app.settings.paper, certificateSpeech(app));
    const pdf = await recordTasks().pdf(paper, new Map());
    saveFile(`acceptance-${result.testedAt.slice(0, 10)}.pdf`, pdf, "application/pdf");
  };
  const { repeatability, reproducibility } = result;
  const spread = ({ sd, lower, upper }: { sd: number; lower: number; upper: number }) => ({
    sd: mm(sd),
    lower: mm(lower),
    upper: mm(upper),
  });
  const remarks = [
    ...result.heldBack,
    ...result.remarks.filter(
      ({ code, severity }) =>
        severity !== "info" && !result.heldBack.some((held) => held.code === code),
    ),
  ];
  return (
    <>
      <Notice
        kind={result.outcome === "pass" ? "info" : "warning"}
        title={`${t(`accept.outcome.${result.outcome}`)}. ${t(`accept.outcomeText.${result.outcome}`)}`}
        testId="acceptance-outcome"
        state={result.outcome}
      >
        <p>
          {when(result.testedAt)} ·{" "}
          {t("accept.largest", { error: mm(result.note.largestErrorMm ?? 0) })}
        </p>
      </Notice>
      <LengthTable result={result} mm={mm} />
      {repeatability ? (
        <p>
          {t("accept.repeatability", {
            ...spread(repeatability),
            stated: mm(repeatability.statedMm),
          })}
        </p>
      ) : null}
      {reproducibility ? (
        <p>
          {t("accept.reproducibility", {
            ...spread(reproducibility),
            groups: reproducibility.groups,
          })}
        </p>
      ) : null}
      <FoldedRemarks remarks={remarks} />
      <Button icon="save" onClick={() => inBackground(certificate())}>
        {t("accept.certificate")}
      </Button>
    </>
  );
}

function LengthTable(props: {
  readonly result: AcceptanceResult;
  readonly mm: (value: number) => string;
}) {
  const { result, mm } = props;
  const { t } = useApp();
  return (
    <table className="parts">
      <thead>
        <tr>
          <th scope="col">{t("accept.column.boards")}</th>
          <th scope="col">{t("accept.column.error")}</th>
          <th scope="col">{t("accept.column.limit")}</th>
          <th scope="col">{t("accept.column.result")}</th>
        </tr>
      </thead>
      <tbody>
        {result.lengths.map(({ from, to, errors, limitMm }) => {
          const verdicts = [...new Set(errors.map(({ verdict }) => verdict))];
          return (
            <tr key={`${from}-${to}`}>
              <th scope="row">
                {from} – {to}
              </th>
              <td className="number">
                {errors.map(({ errorMm }, round) => (
                  // biome-ignore lint/suspicious/noArrayIndexKey: the errors of the rounds, in their order
                  <div key={round}>{mm(errorMm)}</div>
                ))}
              </td>
              <td className="number">{mm(limitMm)}</td>
              <td>{verdicts.map((verdict) => t(`accept.outcome.${verdict}`)).join(" / ")}</td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}
