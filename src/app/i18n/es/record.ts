import type { recordTexts as english } from "../en/record.ts";
import type { Same } from "../en/same.ts";

export const recordTexts: Same<typeof english> = {
  "stability.title": "¿Se movió algo durante la calibración?",
  "stability.none": "Fotografíe otra vez el puesto después de la calibración y aquí se calculará.",
  "stability.nothing": "nada se movió",
  "stability.moved": "se movió",
  "stability.notProven": "no probado",

  "record.after": "Después de la calibración",
  "record.who": "Quién y con qué procedimiento",
  "record.technician": "Técnico",
  "record.shop": "Taller",
  "record.procedure": "Procedimiento",
  "record.procedureHint": "Documento, revisión y cuándo se leyó.",
  "record.scanBefore": "Diagnosis antes del trabajo",
  "record.scanAfter": "Diagnosis después del trabajo",
  "record.note": "Nota",
  "record.close": "Cerrar el registro",
  "record.closedAt": "Cerrado el {when}",
  "record.draft": "borrador del trabajo, no un registro cerrado",
  "record.keep": "Imprimir y guardar",
  "record.keepExplain":
    "La impresión muestra el veredicto, las comprobaciones y las fotos; el PDF de un registro cerrado lleva todo aquello en que se basa. El archivo de trabajo lleva además las fotos: cualquier Plumbshot lo abre y calcula los mismos números.",
  "record.needsResult": "Para cerrar e imprimir hace falta un resultado de la colocación.",
  "record.print": "Imprimir",

  "paper.checks": "Comprobaciones",
  "paper.open": "{count} de {of}",
  "paper.title": "Registro de la colocación del blanco",
  "paper.probability": "probabilidad de cumplir {probability}",
  "paper.record": "Registro",
  "paper.program": "Medido con {program}.",
  "paper.measured": "Medido",
  "paper.camera":
    "Cámara: {phone}. {photos} fotos, {boards} placas en un solo ajuste por mínimos cuadrados, redundancia {redundancy}. Las incertidumbres son expandidas (95\u00a0%); veredictos por probabilidad de conformidad (JCGM 106).",
  "paper.caution":
    "Este registro dice dónde estaba el blanco. No dice que un sensor esté calibrado: eso solo lo dice el final del procedimiento del fabricante.",
  "paper.date": "Fecha",
  "paper.signature": "Firma",
  "paper.photos": "Fotos y lo que se encontró en ellas",
  "paper.boards": "Placas",
  "paper.yes": "hecho",
  "paper.notDone": "sin marcar",
};
