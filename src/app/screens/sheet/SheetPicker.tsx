import { useCallback, useEffect, useState } from "react";
import type { Remark } from "../../../job/result/remark-codes.ts";
import { blankDraft } from "../../../placement/sheet/draft.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import { usualFacing } from "../../forms/sheet/TargetChoice.tsx";
import { exampleSheets } from "../../library/example-sheets.ts";
import { forgetSheet, type KeptSheet, listSheets, readSheetFile } from "../../library/sheets.ts";
import { targetsOf } from "../../library/target-library.ts";
import { Button } from "../../parts/Button.tsx";
import { Remarks } from "../../parts/Notice.tsx";
import { jsonFiles, OpenFile } from "../../parts/OpenFile.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { inBackground } from "../../state/failures.ts";

interface SheetPickerProps {
  /** Below a sheet that is there already. */
  readonly folded: boolean;
  readonly onChoose: (sheet: unknown) => void;
}

/** An empty sheet, a file, one kept from an earlier job, or an invented example. */
export function SheetPicker({ folded, onChoose }: SheetPickerProps) {
  const { t } = useApp();
  return folded ? (
    <details className="fold fold-panel">
      <summary>
        <span>{t("sheet.chooseOther")}</span>
      </summary>
      <div className="fold-body">
        <Choices onChoose={onChoose} />
      </div>
    </details>
  ) : (
    <Panel title={t("sheet.choose")}>
      <Choices onChoose={onChoose} />
    </Panel>
  );
}

function Choices({ onChoose }: Pick<SheetPickerProps, "onChoose">) {
  const { t, sayExample } = useApp();
  const { state } = useJob();
  const [remarks, setRemarks] = useState<readonly Remark[]>([]);
  const [kept, setKept] = useState<readonly KeptSheet[]>([]);
  const [examples, setExamples] = useState<readonly { title: string; sheet: unknown }[]>([]);
  const reload = useCallback(() => inBackground(listSheets().then(setKept)), []);
  useEffect(() => {
    reload();
    inBackground(exampleSheets(sayExample).then(setExamples));
  }, [reload, sayExample]);
  const open = async (file: File) => {
    const reading = await readSheetFile(file);
    setRemarks(reading.remarks);
    if (reading.ok) {
      onChoose(reading.sheet);
    }
  };
  const begin = () => {
    // A target that the job has already is the one that is placed.
    const [known] = targetsOf(state.record);
    const target = {
      kind: "board",
      facing: usualFacing("board"),
      name: known?.name ?? t("word.board"),
      ...(known?.widthMm ? { widthMm: known.widthMm } : {}),
      ...(known?.heightMm ? { heightMm: known.heightMm } : {}),
    } as const;
    onChoose(blankDraft(t("sheet.blankTitle"), target));
  };
  return (
    <>
      <p>{t("sheet.explain")}</p>
      <div className="button-row">
        <Button kind="now" icon="plus" onClick={begin} data-testid="new-sheet">
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
                <button
                  type="button"
                  className="pick"
                  data-testid="kept-sheet"
                  onClick={() => onChoose(item.sheet)}
                >
                  {item.title}
                </button>
                <Button
                  kind="bare"
                  icon="bin"
                  aria-label={`${t("sheet.forget")}: ${item.title}`}
                  onClick={() => inBackground(forgetSheet(item.id).then(reload))}
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
    </>
  );
}
