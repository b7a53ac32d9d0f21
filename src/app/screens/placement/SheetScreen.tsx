import { useCallback, useEffect, useState } from "react";
import type { Remark } from "../../../job/result/remark-codes.ts";
import { readPlacementSheet } from "../../../placement/sheet/sheet-questions.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import { stageHref } from "../../context/routes.ts";
import { sheetSchema } from "../../forms/form-schemas.ts";
import { SchemaForm } from "../../forms/SchemaForm.tsx";
import { exampleSheets } from "../../library/example-sheets.ts";
import { saveFile } from "../../library/save-file.ts";
import {
  blankSheet,
  forgetSheet,
  type KeptSheet,
  keepSheet,
  listSheets,
  readSheetFile,
} from "../../library/sheets.ts";
import { Button, ButtonLink } from "../../parts/Button.tsx";
import { Notice, Remarks } from "../../parts/Notice.tsx";
import { jsonFiles, OpenFile } from "../../parts/OpenFile.tsx";
import { Panel } from "../../parts/Panel.tsx";

/** Choose, type, import, export and keep placement sheets. */
export default function SheetScreen() {
  const { t } = useApp();
  const { session, state } = useJob();
  const { id, placement } = state.record;
  const { sheet } = placement;
  const setSheet = (next: unknown) =>
    session.update((record) => ({
      ...record,
      placement: { ...record.placement, sheet: next },
    }));
  const reading = sheet === null ? null : readPlacementSheet(sheet);
  const [kept, setKept] = useState(false);
  return (
    <>
      <div>
        <ButtonLink href={stageHref(id, "placement")} icon="back">
          {t("sheet.back")}
        </ButtonLink>
      </div>
      <SheetPicker onChoose={(next) => setSheet(next)} />
      {sheet !== null && reading ? (
        <Panel title={t("sheet.content")}>
          <p className="quiet">{t("sheet.signs")}</p>
          {reading.ok && reading.remarks.length === 0 ? (
            <Notice kind="info" title={t("sheet.fine")} />
          ) : (
            <Remarks remarks={reading.remarks} />
          )}
          <SchemaForm schema={sheetSchema()} value={sheet} onChange={setSheet} />
          <div className="button-row">
            <Button
              icon="save"
              onClick={() => saveFile("placement.json", JSON.stringify(sheet, null, 2))}
            >
              {t("sheet.export")}
            </Button>
            <Button disabled={kept} onClick={() => void keepSheet(sheet).then(() => setKept(true))}>
              {t(kept ? "sheet.kept" : "sheet.keep")}
            </Button>
          </div>
        </Panel>
      ) : null}
    </>
  );
}

function SheetPicker({ onChoose }: { readonly onChoose: (sheet: unknown) => void }) {
  const { t, sayExample } = useApp();
  const [remarks, setRemarks] = useState<readonly Remark[]>([]);
  const [kept, setKept] = useState<readonly KeptSheet[]>([]);
  const [examples, setExamples] = useState<readonly { title: string; sheet: unknown }[]>([]);
  const reload = useCallback(() => void listSheets().then(setKept), []);
  useEffect(() => {
    reload();
    void exampleSheets(sayExample).then(setExamples);
  }, [reload, sayExample]);
  const open = async (file: File) => {
    const reading = await readSheetFile(file);
    setRemarks(reading.remarks);
    if (reading.ok) {
      onChoose(reading.sheet);
    }
  };
  return (
    <Panel title={t("sheet.choose")}>
      <p>{t("sheet.explain")}</p>
      <div className="button-row">
        <Button
          icon="plus"
          onClick={() => onChoose(blankSheet(t("sheet.blankTitle")))}
          data-testid="new-sheet"
        >
          {t("sheet.new")}
        </Button>
        <OpenFile accept={jsonFiles} label={t("sheet.import")} onFile={open} />
      </div>
      <Remarks remarks={remarks} />
      {kept.length > 0 ? (
        <>
          <h3>{t("sheet.own")}</h3>
          <ul className="pick-list">
            {kept.map((item) => (
              <li key={item.id}>
                <button type="button" className="pick" onClick={() => onChoose(item.sheet)}>
                  {item.title}
                </button>
                <Button
                  kind="bare"
                  icon="bin"
                  aria-label={`${t("sheet.forget")}: ${item.title}`}
                  onClick={() => void forgetSheet(item.id).then(reload)}
                />
              </li>
            ))}
          </ul>
        </>
      ) : null}
      {examples.length > 0 ? (
        <>
          <h3>{t("sheet.examples")}</h3>
          <p className="small quiet">{t("sheet.examplesCaution")}</p>
          <ul className="pick-list">
            {examples.map((item) => (
              <li key={item.title}>
                <button type="button" className="pick" onClick={() => onChoose(item.sheet)}>
                  {item.title}
                </button>
              </li>
            ))}
          </ul>
        </>
      ) : null}
    </Panel>
  );
}
