import type { Result } from "../../../job/result/result.ts";
import { useApp } from "../../context/app-context.ts";
import { formatNumber } from "../../i18n/units.ts";
import { vehicleWords } from "../../i18n/words.ts";
import { Panel } from "../../parts/Panel.tsx";
import { Words } from "../../parts/Words.tsx";

/** The car's own lines as measured, and how well everything fits together. */
export function VehicleFacts({ result }: { readonly result: Result }) {
  const { t, showMeasured, showUncertainty, locale } = useApp();
  const { network } = result;
  return (
    <Panel title={t("vehicle.title")}>
      <dl className="facts">
        {result.vehicle.map((line) => {
          const words = vehicleWords(line, t, showMeasured, showUncertainty);
          return (
            <div
              key={line.name}
              data-testid="vehicle-line"
              data-name={line.name}
              data-value={line.value}
            >
              <dt>
                <Words text={words.name} />
              </dt>
              <dd>
                {words.value} <span className="number">± {words.uncertainty}</span>
              </dd>
            </div>
          );
        })}
      </dl>
      <details className="fold">
        <summary>
          <span>{t("verdict.figures")}</span>
        </summary>
        <p className="fold-body small">
          <Words
            text={t("vehicle.network", {
              photos: network.photos,
              boards: network.boards,
              observations: network.observations,
              unknowns: network.unknowns,
              residual: formatNumber(network.residualPx, 3, locale),
              factor: formatNumber(network.varianceFactor, 2, locale),
            })}
          />
        </p>
      </details>
    </Panel>
  );
}
