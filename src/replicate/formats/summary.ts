/** What an index says of a closed record. */
import type { Revision } from "../../record/revision.ts";
import type { RecordSummary } from "./entry.ts";

export function summaryOf({ record, number, closedAt, content }: Revision): RecordSummary {
  const { car, work, result, photos, attachments } = content;
  return {
    record,
    number,
    closedAt,
    title: content.title,
    plate: car.plate,
    vin: car.vin,
    vehicle: car.description,
    customer: car.customer,
    technician: work.technician,
    outcome: result?.outcome ?? "none",
    photos: photos.length + attachments.length,
  };
}
