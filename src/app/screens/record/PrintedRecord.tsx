import { doubtfulVerdict } from "../../../job/result/outcome.ts";
import { firstRemarks } from "../../../job/result/rank.ts";
import type { Result } from "../../../job/result/result.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import { BayDrawing } from "../../drawing/bay/PlanView.tsx";
import { NumberLine } from "../../drawing/NumberLine.tsx";
import { formatProbability } from "../../i18n/units.ts";
import {
  checkDecimals,
  checkName,
  deviationWords,
  quantityOf,
  valueWords,
  vehicleWords,
  verdictWord,
} from "../../i18n/words.ts";
import { Mark } from "../../parts/icons/Mark.tsx";
import { bayChecks, carChecks, checkKey, recordChecks } from "../../state/check-lists.ts";
import { activePhotos } from "../../state/job-state.ts";
import { stateKey } from "../../state/record-state.ts";
import { keptBefore, stepPlace } from "../../state/steps.ts";
import { jobTitle, reasonKey } from "../../state/title-block.ts";
import type { CheckState } from "../../store/database/schema.ts";
import { HeldBack, OutcomeStamp, remarksBeside, VerdictStamp } from "../placement/Verdict.tsx";
import { PrintedPhoto } from "./PrintedPhoto.tsx";

/** The record as it is printed: one page that carries the verdict, then the photos. */
export function PrintedRecord({ result }: { readonly result: Result }) {
  const { t } = useApp();
  const { state } = useJob();
  const { record } = state;
  const place = stepPlace(state);
  const photos = [...activePhotos(state, "boards"), ...activePhotos(state, "note")];
  return (
    <article className="paper-record" data-testid="printed-record">
      <header className="paper-head">
        <Mark />
        <div>
          <h2>{t("paper.title")}</h2>
          <p>{jobTitle(record, t("jobs.untitled"))}</p>
        </div>
        <OutcomeStamp outcome={result.outcome} onPaper />
      </header>
      <HeldBack result={result} />
      {record.invented ? <p className="paper-invented">{t("jobs.inventedLong")}</p> : null}
      <Block />
      {place ? (
        <h3>
          {t("step.heading", {
            number: place.present + 1,
            title: place.steps[place.present].title,
          })}
        </h3>
      ) : null}
      <CheckTable result={result} />
      {keptBefore(state).map(({ step, result: kept }) => (
        <StepBefore key={step.id} title={step.title} result={kept} />
      ))}
      <div className="paper-drawing">
        <BayDrawing result={result} onPaper />
      </div>
      <Done />
      <Facts result={result} />
      <div className="paper-end">
        <p className="small paper-caution">{t("paper.caution")}</p>
        <div className="paper-sign">
          <span>{t("paper.date")}</span>
          <span>{t("paper.signature")}</span>
        </div>
      </div>
      <section className="paper-photos">
        <h3>{t("paper.photos")}</h3>
        <ul>
          {photos.map((photo) => (
            <PrintedPhoto key={photo.id} photo={photo} />
          ))}
        </ul>
      </section>
    </article>
  );
}

/** A step that was left: its verdict and numbers as they were then. */
function StepBefore(props: { readonly title: string; readonly result: Result }) {
  const { t, when } = useApp();
  const { title, result } = props;
  return (
    <section className="paper-step">
      <h3>{t("step.kept", { title, when: when(result.measuredAt) })}</h3>
      <HeldBack result={result} />
      <CheckTable result={result} />
    </section>
  );
}

function Block() {
  const { t, when } = useApp();
  const { state } = useJob();
  const { car, record, placement } = state.record;
  const last = state.revisions.at(-1);
  const recordWords =
    last && last.stateKey === stateKey(state)
      ? `${t("handOver.revision", { number: last.number })}, ${t("record.closedAt", { when: when(last.closedAt) })}`
      : t("record.draft");
  const cells: [string, string][] = [
    [t("block.car"), car.description],
    [t("car.plate"), car.plate],
    [t("car.vin"), car.vin],
    [t("car.odometer"), car.odometer],
    [t("car.customer"), car.customer],
    [t("block.reason"), car.reason ? t(reasonKey(car.reason)) : ""],
    [t("sheet.title"), String((placement.sheet as { title?: string } | null)?.title ?? "")],
    [t("record.procedure"), record.procedure],
    [t("paper.measured"), state.result ? when(state.result.result.measuredAt) : ""],
    [t("record.technician"), record.technician],
    [t("record.shop"), record.shop],
    [t("paper.record"), recordWords],
  ];
  return (
    <dl className="title-block">
      {cells
        .filter(([, value]) => value !== "")
        .map(([name, value]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{value}</dd>
          </div>
        ))}
    </dl>
  );
}

function CheckTable({ result }: { readonly result: Result }) {
  const { t, showMeasured, showUncertainty, showBoth, say, locale } = useApp();
  return (
    <ul className="paper-checks">
      {result.checks.map((check) => {
        const quantity = quantityOf(check);
        const decimals = checkDecimals(check);
        const says = doubtfulVerdict(check);
        return (
          <li key={check.id}>
            <div>
              <p className="paper-check-name">
                <strong>{checkName(check, t) ?? say(check.labelSaid, check.label)}</strong>
              </p>
              <p className="small">
                {valueWords(check, check.measured, decimals, t, showMeasured)} ±{" "}
                {showUncertainty(check.expandedUncertainty, quantity, decimals)} ·{" "}
                {deviationWords(check, t, showBoth)}
              </p>
              <p className="small quiet">
                {[
                  says ? t("verdict.byNumber", { verdict: verdictWord(says, t) }) : "",
                  t("paper.probability", {
                    probability: formatProbability(check.probability, locale),
                  }),
                  check.reference,
                ]
                  .filter(Boolean)
                  .join(" · ")}
              </p>
            </div>
            <NumberLine check={check} compact />
            <VerdictStamp verdict={check.verdict} />
          </li>
        );
      })}
    </ul>
  );
}

/** More open checks than this are counted, not listed. */
const mostListed = 8;

/** Which checks were done, which do not apply, which were left open; with their notes. */
function Done() {
  const { t } = useApp();
  const { state } = useJob();
  const { car, bay, record } = state.record;
  const all = [
    ...carChecks.map((name) => ({ name, check: car.checks[name] })),
    ...bayChecks.map((name) => ({ name, check: bay.checks[name] })),
    ...recordChecks.map((name) => ({ name, check: record.checks[name] })),
  ];
  const groups = [
    { word: t("paper.yes"), state: "done" },
    { word: t("checks.doesNotApply"), state: "does not apply" },
    { word: t("paper.notDone"), state: "open" },
  ] as const;
  return (
    <>
      {groups.map((group) => {
        const items = all.filter(({ check }) => (check?.state ?? "open") === group.state);
        return items.length > 0 ? (
          <p key={group.state} className="small paper-done">
            <strong>
              {t("paper.checks")}, {group.word}:
            </strong>{" "}
            {group.state === "open" && items.length > mostListed
              ? t("paper.open", { count: items.length, of: all.length })
              : items.map(({ name, check }) => nameWithNote(t(checkKey(name)), check)).join(" · ")}
          </p>
        ) : null;
      })}
    </>
  );
}

const nameWithNote = (name: string, check: CheckState | undefined): string =>
  check?.note ? `${name} (${check.note})` : name;

function Facts({ result }: { readonly result: Result }) {
  const { t, showMeasured, showUncertainty, say, sayRemark } = useApp();
  const { state } = useJob();
  const { record } = state.record;
  return (
    <>
      <p className="small">
        {t("paper.camera", {
          phone: [result.camera.make, result.camera.model].filter(Boolean).join(" ") || "–",
          photos: result.photos.length,
          boards: result.network.boards,
          redundancy: Math.round(result.network.redundancy),
        })}{" "}
        {result.vehicle
          .filter((line) => !/^(toe|camber|set-back) /.test(line.name))
          .map((line) => {
            const words = vehicleWords(line, t, showMeasured, showUncertainty);
            return `${words.name}: ${words.value} ± ${words.uncertainty}`;
          })
          .join("; ")}
        . {t("paper.program", { program: result.program })}
      </p>
      {result.stability ? (
        <p className="small">
          <strong>{t("stability.title")}:</strong>{" "}
          {say(result.stability.said, result.stability.sentence)}
        </p>
      ) : null}
      {(result.crossChecks ?? []).map((found) => (
        <p key={`${found.check} ${found.by}`} className="small">
          <strong>{t("cross.title")}:</strong> {say(found.said, found.sentence)}
        </p>
      ))}
      {remarksBeside(result).length > 0 ? (
        <ul className="small paper-remarks">
          {remarksBeside(result)
            .slice(0, firstRemarks)
            .map((remark) => (
              <li key={remark.code + remark.message}>{sayRemark(remark).message}</li>
            ))}
        </ul>
      ) : null}
      {[
        [t("record.scanBefore"), record.scanBefore],
        [t("record.scanAfter"), record.scanAfter],
        [t("record.note"), record.note],
      ]
        .filter(([, text]) => text)
        .map(([name, text]) => (
          <p key={name} className="small">
            <strong>{name}:</strong> {text}
          </p>
        ))}
    </>
  );
}
