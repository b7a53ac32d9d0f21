import type { Same } from "../en/same.ts";
import type { verdictTexts as english } from "../en/verdict.ts";

export const verdictTexts: Same<typeof english> = {
  "inside.middle": "dentro de la tolerancia, en su centro",
  "inside.limit": "dentro del límite",
  "inside.ahead": "dentro de la tolerancia, {amount} por delante de su centro",
  "inside.behind": "dentro de la tolerancia, {amount} por detrás de su centro",
  "inside.left": "dentro de la tolerancia, {amount} a la izquierda de su centro",
  "inside.right": "dentro de la tolerancia, {amount} a la derecha de su centro",
  "inside.above": "dentro de la tolerancia, {amount} por encima de su centro",
  "inside.below": "dentro de la tolerancia, {amount} por debajo de su centro",
  "inside.counterClockwise":
    "dentro de la tolerancia, girado {amount} en sentido antihorario desde su centro, visto desde arriba",
  "inside.clockwise":
    "dentro de la tolerancia, girado {amount} en sentido horario desde su centro, visto desde arriba",
  "inside.looksUp": "dentro de la tolerancia, cara {amount} hacia arriba desde su centro",
  "inside.looksDown": "dentro de la tolerancia, cara {amount} hacia abajo desde su centro",
  "inside.leftHigh": "dentro de la tolerancia, extremo izquierdo alto en {amount} desde su centro",
  "inside.rightHigh": "dentro de la tolerancia, extremo derecho alto en {amount} desde su centro",
  "inside.more": "dentro de la tolerancia, {amount} más que su centro",
  "inside.less": "dentro de la tolerancia, {amount} menos que su centro",

  "verdict.byNumber": "Dudoso; el número solo diría: {verdict}.",
  "verdict.next": "Siguiente",
  "verdict.nextRun":
    "Haga la calibración con el equipo de diagnóstico. No toque nada. Después fotografíe otra vez el soporte y las ruedas.",
  "verdict.nextAfter": "Fotografiar después de la calibración",
  "verdict.nextMove":
    "Haga los movimientos de abajo, uno tras otro, y fotografíe otra vez el soporte.",
  "verdict.nextProve": "Aún no hay que mover nada: hay que medir mejor.",
  "verdict.nextDoubt": "Corrija lo que habla en contra del veredicto.",
  "verdict.nextRecord": "Complete el registro.",
  "verdict.figures": "Las cifras",
  "verdict.measured": "Medido {measured}, seguro con ± {uncertainty} (95\u00a0%).",
  "verdict.probability": "Probabilidad de cumplir: {probability}.",
  "verdict.cautions": "Qué más se ha notado ({count})",
  "verdict.allBelow": "Hoja y paso",

  "moves.close": "Cerrar",
  "moves.wholeStand": "soporte entero",
  "moves.inOrder":
    "Uno tras otro; cada uno cuenta desde donde esté entonces el soporte. Dibujado desde arriba, el frente del coche a la derecha.",
  "drawing.car": "coche",
  "word.left end": "extremo izquierdo",
  "word.right end": "extremo derecho",

  "was.title": "Antes del movimiento y ahora",
  "was.moved": "El soporte se ha movido: {what}.",
  "was.still": "No se ve ningún movimiento: todo está como antes, dentro de lo seguro.",
  "was.was": "era",
  "was.now": "es ahora",
  "was.by": "{name} en {amount}",

  "aloud.on": "Leer en voz alta",
  "aloud.off": "Dejar de leer",
};
