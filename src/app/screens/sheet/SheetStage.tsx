import { lazy, useMemo, useState } from "react";
import { draftOf, missingIn, type SheetDraft } from "../../../placement/sheet/draft.ts";
import { readPlacementSheet } from "../../../placement/sheet/sheet-questions.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import type { StageProps } from "../../context/routes.ts";
import { sheetSchema } from "../../forms/form-schemas.ts";
import { SchemaForm } from "../../forms/SchemaForm.tsx";
import { SheetEditor } from "../../forms/sheet/SheetEditor.tsx";
import { useUndo } from "../../forms/sheet/use-undo.ts";
import { saveFile } from "../../library/save-file.ts";
import { keepSheet } from "../../library/sheets.ts";
import { Button } from "../../parts/Button.tsx";
import { Confirm } from "../../parts/Dialog.tsx";
import { Notice, Remarks } from "../../parts/Notice.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { Words } from "../../parts/Words.tsx";
import { inBackground } from "../../state/failures.ts";
import { withoutUnread } from "../../state/unread.ts";
import { TargetPanel } from "../target/TargetPanel.tsx";
import { SheetPicker } from "./SheetPicker.tsx";

const TeachTarget = lazy(() => import("../target/TeachTarget.tsx"));

/** Choose, fill in, import, export and keep placement sheets. */
export default function SheetStage({ detail }: StageProps) {
  return detail === "teach" ? <TeachTarget /> : <SheetAndTarget />;
}

function SheetAndTarget() {
  const { t } = useApp();
  const { session, state } = useJob();
  const { placement } = state.record;
  const { sheet } = placement;
  const setSheet = (next: unknown) =>
    session.update((record) => ({ ...record, placement: { ...record.placement, sheet: next } }));
  const { change, undo } = useUndo(sheet, setSheet);
  const [typed, setTyped] = useState(false);
  const [waiting, setWaiting] = useState<{ readonly sheet: unknown } | null>(null);
  const edit = (next: unknown, what?: string) => {
    setTyped(true);
    change(next, what);
  };
  const take = (next: unknown) => {
    session.update((record) => ({
      ...withoutUnread(record, "sheet"),
      placement: { ...record.placement, step: "" },
    }));
    change(next);
    setTyped(false);
  };
  const draft = useMemo(() => draftOf(sheet), [sheet]);
  const hasWork = sheet !== null && (typed || !(draft?.invented ?? false)) && !isEmpty(draft);
  return (
    <>
      {sheet === null ? null : (
        <SheetContent sheet={sheet} draft={draft} onChange={edit} undo={undo} />
      )}
      <SheetPicker
        folded={sheet !== null}
        onChoose={(next) => (hasWork ? setWaiting({ sheet: next }) : take(next))}
      />
      <TargetPanel />
      {waiting ? (
        <Confirm
          title={t("sheet.replaceTitle")}
          action={t("sheet.replace")}
          onConfirm={() => take(waiting.sheet)}
          onClose={() => setWaiting(null)}
        >
          <p>{t("sheet.replaceText")}</p>
        </Confirm>
      ) : null}
    </>
  );
}

const isEmpty = (draft: SheetDraft | null): boolean =>
  draft?.steps.every((step) => step.checks.length === 0 && !step.tiltSteps) ?? false;

interface SheetContentProps {
  readonly sheet: unknown;
  readonly draft: SheetDraft | null;
  readonly onChange: (sheet: unknown, what?: string) => void;
  readonly undo: (() => void) | null;
}

function SheetContent({ sheet, draft, onChange, undo }: SheetContentProps) {
  const { t } = useApp();
  const [kept, setKept] = useState<unknown>(null);
  return (
    <Panel
      title={t("sheet.content")}
      aside={
        undo ? (
          <Button icon="back" onClick={undo} data-again data-testid="sheet-undo">
            {t("sheet.undo")}
          </Button>
        ) : null
      }
    >
      {draft ? <SheetEditor draft={draft} onChange={onChange} /> : null}
      <SheetState sheet={sheet} draft={draft} />
      <div className="button-row">
        <Button
          disabled={kept === sheet}
          icon="save"
          onClick={() => inBackground(keepSheet(sheet).then(() => setKept(sheet)))}
          data-testid="keep-sheet"
        >
          {t(kept === sheet ? "sheet.kept" : "sheet.keep")}
        </Button>
        <Button
          icon="file"
          onClick={() => saveFile("placement.json", JSON.stringify(sheet, null, 2))}
        >
          {t("sheet.export")}
        </Button>
      </div>
      <ExpertFields sheet={sheet} onChange={onChange} open={draft === null} />
    </Panel>
  );
}

/** What is missing or questioned, in the words of the table. */
function SheetState({ sheet, draft }: Pick<SheetContentProps, "sheet" | "draft">) {
  const { t } = useApp();
  const missing = draft ? missingIn(draft) : [];
  const reading = useMemo(() => readPlacementSheet(sheet), [sheet]);
  if (missing.length > 0 && draft) {
    const words = missing.map(({ step, check, what }) =>
      check === null
        ? t(what === "target" ? "sheet.missingTarget" : "sheet.missingCheck")
        : t(what === "value" ? "sheet.missingValue" : "sheet.missingTolerance", {
            name: t(`word.${draft.steps[step].checks[check].kind}`),
          }),
    );
    return <Notice kind="info" title={t("sheet.stillMissing", { what: words.join(", ") })} />;
  }
  return reading.ok && reading.remarks.length === 0 ? (
    <Notice kind="info" title={t("sheet.fine")} testId="sheet-fine" />
  ) : (
    <Remarks remarks={reading.remarks} />
  );
}

/** Every field of the file, for what the drawing has no place for. */
function ExpertFields(props: {
  readonly sheet: unknown;
  readonly open: boolean;
  readonly onChange: (sheet: unknown) => void;
}) {
  const { t } = useApp();
  const [open, setOpen] = useState(props.open);
  return (
    <details className="fold" open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>
        <span>{t("sheet.everyField")}</span>
      </summary>
      {open ? (
        <div className="fold-body">
          <p className="quiet small">
            <Words text={t("sheet.signs")} />
          </p>
          <SchemaForm schema={sheetSchema()} value={props.sheet} onChange={props.onChange} />
        </div>
      ) : null}
    </details>
  );
}
