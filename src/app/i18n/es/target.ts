import type { Same } from "../en/same.ts";
import type { targetTexts as english } from "../en/target.ts";

export const targetTexts: Same<typeof english> = {
  "target.viewFront": "de frente",
  "target.where": "Dónde está «{name}» en su soporte",
  "target.why":
    "Las fotos encuentran las placas del soporte. Una vez por blanco, la herramienta debe aprender dónde está el blanco respecto a ellas.",
  "target.fromShop": "Un blanco de este taller",
  "target.byPhotos":
    "Con fotos, lo más seguro: las puntas de tres punteros tocan el centro del blanco, un punto a su derecha y uno encima.",
  "target.byRuleExplain":
    "Con una regla: tres medidas por placa, desde el centro del blanco al centro de la placa.",
  "target.byRule": "Anotar lo que dice la regla",
  "target.incomplete": "Falta todavía alguna medida.",
  "target.measureTo": "Del centro del blanco al centro de la placa {board}, visto de frente.",
  "target.nextBoard": "Siguiente: placa {board}",
  "target.removeBoard": "Quitar esta placa",
  "target.addBoard": "Añadir la placa {board}",
  "target.remove": "Quitar este blanco del trabajo",
  "target.sure": "Las placas están donde se dice con ± {mm} y ± {angle}",
  "target.sureExplain":
    "95 de cada 100 placas así quedan dentro. Con regla y a ojo: ± {mm} y ± {angle} (práctica común, sin fuente).",
  "target.sureShift": "Lugar, ±",
  "target.sureTurn": "Giro respecto a la cara, ±",
  "target.feet": "Patas del soporte ({count})",
  "target.feetExplain":
    "Con ellas, un movimiento dice qué pata va adónde. Medidas desde el centro del blanco; el suelo queda debajo.",
  "target.addFoot": "Añadir una pata",
  "target.foot": "pata {number}",
  "target.footLeft": "pata izquierda",
  "target.footRight": "pata derecha",
  "target.footFar": "pata de atrás",
  "target.pointersHeard":
    "El puntero {reference} toca el centro del blanco, el {right} un punto a la derecha, el {above} un punto encima.",

  "offset.sideways": "Del centro hacia un lado",
  "offset.upDown": "Encima o debajo del centro",
  "offset.inOut": "Delante de la cara o detrás",
  "offset.left": "a la izquierda del centro",
  "offset.right": "a la derecha del centro",
  "offset.above": "por encima",
  "offset.below": "por debajo",
  "offset.inFront": "por delante",
  "offset.behindFace": "por detrás",
  "offset.words": "{amount} {side}",
  "offset.missing": "¿?",

  "stage.sheet": "Hoja y blanco",
  "next.sheet":
    "Copie los números de la página del fabricante y diga dónde está el blanco en su soporte.",
  "status.sheetDone": "{count} {count|número|números}, blanco conocido",
  "status.sheetNoTarget": "no se sabe dónde está el blanco en su soporte",
  "status.sheetOpen": "faltan números o hay dudas",
};
