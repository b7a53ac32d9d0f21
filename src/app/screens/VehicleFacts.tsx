import type { Result } from "../../job/result.ts";
import { useApp } from "../app-context.ts";
import { Panel } from "../parts/Panel.tsx";
import { formatNumber } from "../units.ts";

/** The car's own lines as measured, and how well everything fits together. */
export function VehicleFacts({ result }: { readonly result: Result }) {
  const { t, show, locale } = useApp();
  const { network } = result;
  return (
    <Panel title={t("vehicle.title")}>
      <dl className="facts">
        {result.vehicle.map((line) => {
          const quantity = line.unit === "mm" ? "length" : "angle";
          const decimals = line.unit === "mm" ? 1 : 2;
          return (
            <div
              key={line.name}
              data-testid="vehicle-line"
              data-name={line.name}
              data-value={line.value}
            >
              <dt>{vehicleWord(line.name, line.label, t)}</dt>
              <dd className="number">
                {show(line.value, quantity, decimals)} ±{" "}
                {show(line.expandedUncertainty, quantity, decimals)}
              </dd>
            </div>
          );
        })}
      </dl>
      <p className="small quiet">
        {t("vehicle.network", {
          photos: network.photos,
          boards: network.boards,
          observations: network.observations,
          unknowns: network.unknowns,
          residual: formatNumber(network.residualPx, 3, locale),
          factor: formatNumber(network.varianceFactor, 2, locale),
        })}
      </p>
    </Panel>
  );
}

const lineKeys = {
  wheelbase: "vehicle.wheelbase",
  "thrust angle": "vehicle.thrustAngle",
  thrustAngle: "vehicle.thrustAngle",
  frontTrack: "vehicle.frontTrack",
  rearTrack: "vehicle.rearTrack",
  "front track": "vehicle.frontTrack",
  "rear track": "vehicle.rearTrack",
  axleOffset: "vehicle.axleOffset",
  "axle offset": "vehicle.axleOffset",
  setBack: "vehicle.setBack",
  "set-back": "vehicle.setBack",
  "front set-back": "vehicle.setBack",
} as const;

function vehicleWord(name: string, label: string, t: ReturnType<typeof useApp>["t"]): string {
  return name in lineKeys ? t(lineKeys[name as keyof typeof lineKeys]) : label;
}
