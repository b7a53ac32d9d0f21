import { useMemo } from "react";
import { expandTiltSteps, placementSheetSchema } from "../../../placement/sheet/sheet.ts";
import { questionsAbout } from "../../../placement/sheet/sheet-questions.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import { stageHref } from "../../context/routes.ts";
import { ButtonLink } from "../../parts/Button.tsx";
import { SelectField } from "../../parts/fields/Fields.tsx";
import { Remarks } from "../../parts/Notice.tsx";

/** Which sheet this job uses, its questions, and the step that is measured now. */
export function SheetSummary() {
  const { t } = useApp();
  const { session, state } = useJob();
  const { placement, id } = state.record;
  // Read once per sheet, not at every photo's progress.
  const parsed = useMemo(() => placementSheetSchema.safeParse(placement.sheet), [placement.sheet]);
  if (placement.sheet === null) {
    return (
      <>
        <p>{t("sheet.none")}</p>
        <ButtonLink href={stageHref(id, "sheet")} kind="now" icon="plus">
          {t("sheet.choose")}
        </ButtonLink>
      </>
    );
  }
  const steps = parsed.success ? parsed.data.steps.flatMap(expandTiltSteps) : [];
  return (
    <>
      <p>
        <strong>{String((placement.sheet as { title?: string }).title ?? "")}</strong>
        {parsed.success && parsed.data.invented ? (
          <span className="tag">{t("sheet.invented")}</span>
        ) : null}
      </p>
      {parsed.success ? <Remarks remarks={questionsAbout(parsed.data)} /> : null}
      {steps.length > 1 ? (
        <SelectField
          label={t("sheet.step")}
          value={placement.step || steps[0].id}
          choices={steps.map((step, index) => ({
            value: step.id,
            label: `${index + 1}. ${step.title}`,
          }))}
          onChange={(step) =>
            session.update((record) => ({
              ...record,
              placement: { ...record.placement, step },
            }))
          }
          hint={t("sheet.stepHint")}
        />
      ) : null}
      <ButtonLink href={stageHref(id, "sheet")} icon="file">
        {t("sheet.edit")}
      </ButtonLink>
    </>
  );
}
