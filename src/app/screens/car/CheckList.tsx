import { useApp } from "../../context/app-context.ts";
import { CheckItem } from "../../parts/fields/CheckItem.tsx";
import { type CheckName, checkKey } from "../../state/check-lists.ts";
import type { CheckState } from "../../store/database/schema.ts";
import { CheckPhotos } from "./CheckPhotos.tsx";

interface CheckListProps {
  readonly names: readonly CheckName[];
  readonly states: Readonly<Record<string, CheckState>>;
  readonly onChange: (states: Record<string, CheckState>) => void;
}

export function CheckList({ names, states, onChange }: CheckListProps) {
  const { t } = useApp();
  return (
    <>
      <p className="small quiet">{t("checks.commonPractice")}</p>
      <ul className="check-list">
        {names.map((name) => (
          <CheckItem
            key={name}
            label={t(checkKey(name))}
            value={states[name]}
            testId={`check-${name}`}
            onChange={(value) => onChange({ ...states, [name]: value })}
          >
            <CheckPhotos name={name} label={t(checkKey(name))} />
          </CheckItem>
        ))}
      </ul>
    </>
  );
}
