import type { AcceptanceCode } from "../../../../acceptance/result/codes.ts";
import type { RemarkPair } from "../../en/text-types.ts";

const again = "Repita la prueba.";

/** Observaciones sobre la prueba de aceptación y sobre lo que un trabajo lleva de la última. */
export const acceptanceRemarksEs = {
  "acceptance-on": [
    "Última prueba de aceptación: {date}, superada, errores de hasta {error:mm1}.",
    "",
  ],
  "acceptance-missing": [
    "Este teléfono y estas impresiones no han pasado nunca una prueba de aceptación.",
    "Hágala una vez: placas, unas cuantas longitudes bien medidas y dos vueltas de fotos.",
  ],
  "acceptance-old": [
    "La última prueba de aceptación ({date}) no está dentro de los {rule} días que pide la regla del taller.",
    again,
  ],
  "acceptance-changed": [
    "La prueba de aceptación del {date} se hizo con otro estado de: {what:word}.",
    "Solo vale para lo que se probó. Repítala con lo que usa ahora.",
  ],
  "acceptance-failed": [
    "La prueba de aceptación del {date} no se superó: hubo longitudes con errores mayores que su límite, de hasta {error:mm1}.",
    "Averigüe la causa, corríjala y repita la prueba antes de fiarse de un veredicto.",
  ],
  "acceptance-not-shown": [
    "La prueba de aceptación del {date} no demostró ni que se supera ni que no.",
    "Vea en su certificado qué faltó y repítala.",
  ],
  "accept-few-lengths": [
    "Solo se prueban {lengths} {lengths|longitud|longitudes}; hacen falta {fewest} o más.",
    "Mida más longitudes entre placas, cortas y largas.",
  ],
  "accept-few-directions": [
    "Las longitudes probadas van en {directions} {directions|dirección|direcciones} claramente distintas; hacen falta {fewest}.",
    "Mida también longitudes a lo largo, a lo ancho e inclinadas.",
  ],
  "accept-short": [
    "La longitud probada más larga mide {longest:mm0}, menos de dos tercios de los {diagonal:mm0} de un extremo a otro de las placas.",
    "Mida una longitud de un extremo del montaje al otro.",
  ],
  "accept-flat": [
    "Las placas están casi en un plano ({height:mm0} de grosor): las alturas apenas se prueban.",
    "Ponga placas también en el soporte y en la pared, y mida longitudes hasta ellas.",
  ],
  "accept-one-round": [
    "Solo hay una vuelta de fotos: nada muestra cómo se repite el teléfono.",
    "Haga todas las fotos otra vez, de la primera a la última.",
  ],
  "accept-round-failed": [
    "La vuelta «{round}» no se pudo medir.",
    "Vea lo que se dice de sus fotos y repítalas.",
  ],
  "accept-length-unseen": [
    "Longitud de la placa {from:board} a la placa {to:board}: las fotos de «{round}» no muestran las dos.",
    "Haga otra foto de esta vuelta que muestre la placa junto con otras.",
  ],
  "accept-same-instrument": [
    "{instrument} da la escala y también la prueba: un error suyo no se vería.",
    "Mida al menos dos de las longitudes probadas con otro instrumento.",
  ],
  "accept-zero-error": [
    "{instrument} lee todas las longitudes con una diferencia de {zero:mm1}, las cortas como las largas (más de {limit:mm1}): su gancho o su cero está gastado, o se apoyó mal.",
    "Mida otra vez desde una línea de la escala, no desde el gancho, o con otro instrumento.",
  ],
  "accept-scale-error": [
    "{instrument} y las fotos difieren en {error:mm2} por metro (más de {limit:mm2}): la comprobación de la impresión, una longitud que da la escala o {instrument} está mal.",
    "Lea otra vez las barras de la impresión y mida una longitud larga por un tercer medio.",
  ],
  "accept-instruments-disagree": [
    "{instruments} difieren en {apart:mm2} por metro.",
    "Mida una longitud larga con los dos, uno tras otro, y busque cuál está mal.",
  ],
  "accept-scatter": [
    "Las vueltas difieren más de lo que indicaría un trabajo: desviación típica {sd:mm2}, indicada {stated:mm2}.",
    "Mire si se tocó una placa entre las vueltas y si todas están planas y firmes.",
  ],
  "accept-board-moved": [
    "La placa {board:board} estaba {shift:mm1} más allá en «{after}» que en «{before}».",
    "Fije la placa, mida otra vez sus longitudes y repita las dos vueltas.",
  ],
  "accept-one-person": [
    "Un solo teléfono y una sola persona: lo que obtendrían otros no se prueba.",
    "Que otra persona haga una vuelta, y haga una con cada teléfono que se use.",
  ],
} as const satisfies Readonly<
  Record<
    AcceptanceCode | `acceptance-${"on" | "missing" | "old" | "changed" | "failed" | "not-shown"}`,
    RemarkPair
  >
>;
