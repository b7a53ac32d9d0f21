import type { ReactNode } from "react";
import { firstRemarks } from "../../job/result/rank.ts";
import type { StoredRemark } from "../../say/remark.ts";
import { useApp } from "../context/app-context.ts";
import { Icon } from "./icons/Icon.tsx";
import { Words } from "./Words.tsx";

interface NoticeProps {
  readonly kind: "info" | "warning" | "error" | "now";
  readonly title?: string;
  readonly children?: ReactNode;
  readonly testId?: string;
  /** For tests: which of its states the notice is in. */
  readonly state?: string;
}

/** A sentence at the place where it belongs. The kind is told by a word, never by colour alone. */
export function Notice({ kind, title, children, testId, state }: NoticeProps) {
  const { t } = useApp();
  const word =
    kind === "error" ? t("notice.stop") : kind === "warning" ? t("notice.caution") : null;
  return (
    <div
      className={`notice notice-${kind}`}
      data-testid={testId}
      data-state={state}
      role={kind === "error" ? "alert" : undefined}
    >
      <Icon name={kind === "info" || kind === "now" ? "info" : "warn"} />
      <div>
        {word || title ? (
          <p className="notice-title">
            {word ? <span className="notice-word">{word}</span> : null}{" "}
            {title ? <Words text={title} /> : null}
          </p>
        ) : null}
        {children}
      </div>
    </div>
  );
}

/** Remarks in the order in which they matter: the first ones open, the rest folded. */
export function FoldedRemarks({ remarks }: { readonly remarks: readonly StoredRemark[] }) {
  const { t } = useApp();
  const rest = remarks.slice(firstRemarks);
  return (
    <>
      <Remarks remarks={remarks.slice(0, firstRemarks)} />
      {rest.length > 0 ? (
        <details data-testid="more-remarks">
          <summary>{t("notice.more", { count: rest.length })}</summary>
          <Remarks remarks={rest} />
        </details>
      ) : null}
    </>
  );
}

/** Remarks of the engine: what is wrong, where, what to do. */
export function Remarks({ remarks }: { readonly remarks: readonly StoredRemark[] }) {
  const { t, say, sayRemark, show } = useApp();
  return (
    <>
      {remarks.map((remark, index) => {
        const text = sayRemark(remark);
        return (
          // biome-ignore lint/suspicious/noArrayIndexKey: remarks have no id and never move
          <Notice key={`${remark.code}-${index}`} kind={remark.severity} title={text.message}>
            {remark.cost ? (
              <p>
                {t("notice.cost", {
                  check: say(remark.cost.said, remark.cost.label),
                  amount: show(
                    remark.cost.amount,
                    remark.cost.unit === "mm" ? "length" : "angle",
                    remark.cost.unit === "mm" ? 1 : 2,
                  ),
                })}
              </p>
            ) : null}
            {text.remedy ? (
              <p>
                <Words text={text.remedy} />
              </p>
            ) : null}
          </Notice>
        );
      })}
    </>
  );
}
