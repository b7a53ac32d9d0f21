import { centringSdMm, offsetSdMm, wayOfSd } from "../../../job/file/reading-ways.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import { PlatePicture } from "../../drawing/PlatePicture.tsx";
import { platesOf, withPlates } from "../../library/plates.ts";
import { Button } from "../../parts/Button.tsx";
import { TextField } from "../../parts/fields/Fields.tsx";
import { HowSure } from "../../parts/fields/HowSure.tsx";
import { NumberField } from "../../parts/fields/NumberField.tsx";
import { Words } from "../../parts/Words.tsx";
import type { PlateSet } from "../../store/database/schema.ts";

/** The wheel plates: their offset is asked for once and drawn; sets of the shop are one tap away. */
export function PlatesForm() {
  const { t, settings, changeSettings, showStated } = useApp();
  const { session, state } = useJob();
  const plates = platesOf(state.record);
  const set = (change: Partial<PlateSet>) => session.update((record) => withPlates(record, change));
  const { plateSets } = settings;
  return (
    <div className="form">
      <PlatePicture
        offset={plates.standOffMm === null ? "?" : showStated(plates.standOffMm, "length")}
      />
      {plateSets.length > 0 ? (
        <fieldset className="choice">
          <legend>
            <Words text={t("plates.sets")} />
          </legend>
          <div className="chip-row">
            {plateSets.map((item) => (
              <button
                key={item.name}
                type="button"
                className="chip"
                aria-pressed={samePlates(item, plates)}
                onClick={() => set(item)}
              >
                {item.name}
              </button>
            ))}
          </div>
        </fieldset>
      ) : null}
      <TextField
        label={t("plates.setName")}
        hint={t("plates.setNameHint")}
        value={plates.name}
        testId="plate-name"
        onChange={(name) => set({ name })}
      />
      <NumberField
        label={t("plates.offset")}
        hint={t("plates.offsetHint")}
        quantity="length"
        at="plates.offset"
        value={plates.standOffMm}
        testId="plate-offset"
        onChange={(standOffMm) => set({ standOffMm })}
      />
      <HowSure
        label={t("plates.offsetHow")}
        ways={["depth gauge", "steel rule", "estimated"]}
        way={wayOfSd(offsetSdMm, plates.standOffSdMm)}
        sdMm={plates.standOffSdMm}
        at="plates.offsetSure"
        onWay={(way) => set({ standOffSdMm: offsetSdMm[way] })}
        onSd={(standOffSdMm) => set({ standOffSdMm })}
      />
      <HowSure
        label={t("plates.centringHow")}
        ways={["clamped and centred", "set by eye"]}
        way={wayOfSd(centringSdMm, plates.centringSdMm)}
        sdMm={plates.centringSdMm}
        at="plates.centringSure"
        onWay={(way) => set({ centringSdMm: centringSdMm[way] })}
        onSd={(sd) => set({ centringSdMm: sd })}
      />
      <KeepSet
        plates={plates}
        known={plateSets.some((item) => samePlates(item, plates))}
        onKeep={(named) =>
          changeSettings({
            plateSets: [...plateSets.filter(({ name }) => name !== named.name), named],
          })
        }
      />
    </div>
  );
}

/** A job from before plates had names is told by its figures alone. */
const samePlates = (a: PlateSet, b: PlateSet): boolean =>
  (b.name.trim() === "" || a.name === b.name.trim()) &&
  a.standOffMm === b.standOffMm &&
  a.standOffSdMm === b.standOffSdMm &&
  a.centringSdMm === b.centringSdMm &&
  a.tiltSdDeg === b.tiltSdDeg;

/** What was stated and named can be kept for the next jobs. */
function KeepSet(props: {
  readonly plates: PlateSet;
  readonly known: boolean;
  readonly onKeep: (set: PlateSet) => void;
}) {
  const { plates, known, onKeep } = props;
  const { t } = useApp();
  const name = plates.name.trim();
  if (plates.standOffMm === null || known || name === "") {
    return null;
  }
  return (
    <div>
      <Button icon="save" onClick={() => onKeep({ ...plates, name })}>
        {t("plates.keep")}
      </Button>
    </div>
  );
}
