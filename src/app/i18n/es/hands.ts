import type { handsTexts as english } from "../en/hands.ts";
import type { Same } from "../en/same.ts";

export const handsTexts: Same<typeof english> = {
  "hands.title": "Guantes, oídos, ojos",
  "hands.off": "no",
  "hands.on": "sí",
  "hands.gloves": "Modo de guantes",
  "hands.glovesHint": "Botones más grandes y más separados.",
  "hands.aloud": "Leer en voz alta",
  "hands.aloudHint":
    "El veredicto y los movimientos, con una voz de este dispositivo. No se envía nada.",
  "hands.noVoice": "Este dispositivo no tiene voz propia para este idioma: se queda callado.",
  "hands.tones": "Tonos",
  "hands.tonesHint":
    "Dos tonos que suben: hay placas en la foto. Un tono grave: ninguna. Si el teléfono puede, vibra.",
  "building.open": "Cómo construirlo",
  "building.openPdf": "Estas páginas en PDF",
  "share.file": "Compartir",
  "glossary.title": "Glosario",
  "glossary.whatIs": "¿Qué es: {term}?",
  "glossary.close": "Cerrar",
  "glossary.intro":
    "Palabras de las pantallas, cada una en dos frases. Las palabras subrayadas se pueden tocar.",
};
