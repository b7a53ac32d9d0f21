import type { RemarkCode } from "../../../../job/result/remark-codes.ts";
import type { RemarkPair } from "../../en/text-types.ts";

const twoSides = "Fotografíe lo que falta junto con placas de suelo, desde dos lados.";
const chooseOther = "Elija un archivo escrito por Plumbshot o que siga el esquema publicado.";
const rollAgain =
  "Haga rodar el coche media vuelta de rueda, fotografíe otra vez las placas de rueda y de suelo y añada esas fotos como segunda posición.";
const markPoint = "Marque ese punto con una placa de suelo o una indicadora y dele ese nombre.";

/** Observaciones sobre la hoja de colocación y lo que pide al trabajo. */
export const sheetRemarks = {
  "sheet-not-json": ["{about} no es una hoja de colocación.", chooseOther],
  "sheet-not-object": ["El archivo no es una hoja de colocación.", chooseOther],
  "sheet-format": ["El archivo es de otro formato ({found}).", "Elija una hoja de colocación."],
  "sheet-version": [
    "La hoja es de la versión {found}; este programa lee la {known}.",
    "Use un programa más nuevo o guarde la hoja en esta versión.",
  ],
  "sheet-field": ["Hoja de colocación, {about:path}: {reason:said}.", "Corrija ese dato."],
  "sheet-repeated-id": [
    "El nombre corto «{id}» se usa más de una vez ({about:path}).",
    "Dé a cada uno el suyo.",
  ],
  "sheet-tilt-kind": [
    "El paso «{step}» inclina por pasos un blanco de tipo {kind:word}; lo normal es inclinar solo una placa reflectora de radar.",
    "Compruebe el tipo de blanco.",
  ],
  "sheet-no-limit": [
    "Las dos tolerancias están abiertas: así no se comprueba nada ({about:path}).",
    "Indique al menos una desviación límite.",
  ],
  "sheet-no-width": [
    "Las dos desviaciones son {lower:stated}: ninguna medición puede demostrar una tolerancia sin anchura ({about:path}).",
    "Escriba la tolerancia del procedimiento, por ejemplo −5 y 5.",
  ],
  "sheet-lower-above-upper": [
    "La desviación inferior {lower:stated} queda por encima de la superior {upper:stated} ({about:path}).",
    "Cámbielas o corrija el signo.",
  ],
  "sheet-required-outside": [
    "El propio valor pedido queda fuera de su tolerancia ({lower:stated} a {upper:stated}; {about:path}). ¿Son desviaciones y no límites?",
    "Escriba desviaciones del valor pedido, por ejemplo −5 y 5.",
  ],
  "sheet-no-reference": [
    "La hoja de colocación no dice de dónde vienen los números ({about:path}).",
    "Anote documento, página y fecha, para poder seguir el registro más tarde.",
  ],
  "sheet-angle-size": [
    "{kind:word} de {required}° ({about:path}). ¿Es una longitud?",
    "Escriba el ángulo en grados.",
  ],
  "sheet-negative": [
    "{kind:word} de {required:stated} ({about:path}) {behind?yes=queda detrás de la línea, aunque el blanco mira al coche desde delante.|*=es negativo.}",
    "Quite el signo menos o confírmelo.",
  ],
  "sheet-unit": [
    "{kind:word} de {required:stated} es poco corriente ({about:path}). {typed?mm={guess?=¿Es otra unidad?|*=¿Es {guess}?}|*=¿Es la unidad correcta?}",
    "{typed?mm=Todas las longitudes son milímetros.|*=Aquí las longitudes se escriben en pulgadas; el archivo de la hoja las lleva en milímetros.} Corrija el número o confírmelo.",
  ],
  "sheet-tolerance-size": [
    "Una tolerancia de {width:stated} es extrañamente {size?narrow=estrecha|wide=ancha} para: {kind:word} ({about:path}). ¿Es la unidad correcta?",
    "Escriba desviaciones con signo del valor pedido.",
  ],
  "no-such-step": [
    "La hoja de colocación no tiene ningún paso «{wanted}».",
    "Sus pasos son: {steps}.",
  ],

  "wheels-missing": [
    "No hay placa de rueda ni punto de plomada del buje en: {places:word}.",
    "Ponga una placa en cada rueda, o marque el punto de plomada del buje, y fotografíelo.",
  ],
  "wheels-unseen": ["En ninguna foto se ven estas placas de rueda: {boards:board}.", twoSides],
  "thrust-needs-plates": [
    "La hoja coloca según la línea de empuje, y el trabajo no tiene placas en las dos ruedas traseras.",
    "Ponga placas en las dos ruedas traseras; un punto de plomada no da dirección.",
  ],
  "origin-missing": [
    "El origen de la hoja es el punto de plomada «{name}», que el trabajo no tiene.",
    "Marque ese punto con una placa de suelo o una indicadora y dele ese nombre, o elija otro origen.",
  ],
  "centreline-point-missing": [
    "La línea central pasa por el punto de plomada «{name}», que el trabajo no tiene.",
    "Marque ese punto o use los centros de los ejes.",
  ],
  "floor-from-wheels": [
    "Menos de tres placas de suelo: el suelo se toma bajo los centros de rueda.",
    "Ponga al menos tres placas de suelo para que las alturas no dependan de los neumáticos.",
  ],
  "floor-boards-few": [
    "Hay {count} {count|placa|placas} de suelo; el suelo necesita al menos tres.",
    "Ponga más placas de suelo entre coche y blanco, separadas y no en una línea, y fotografíelas.",
  ],
  "flatness-needs-boards": [
    "Una comprobación pide la planitud del suelo, y el trabajo no tiene placas de suelo ({about:path}).",
    "Ponga placas de suelo donde haya que comprobarlo.",
  ],
  "flatness-board-unknown": [
    "Una comprobación pide la planitud en placas que no son de suelo en este trabajo o que ninguna foto muestra: {boards:board}.",
    "Ponga allí una placa de suelo y fotografíela, o corrija la comprobación.",
  ],
  "point-missing": [
    "La comprobación usa el punto de plomada «{name}», que el trabajo no tiene.",
    markPoint,
  ],
  "point-unseen": [
    "El paso «{step}» necesita placas que ninguna foto muestra: {boards:board}.",
    twoSides,
  ],
  "stand-unseen": [
    "Ninguna placa del soporte de «{name}» ({boards}) se ha podido situar: ninguna foto muestra una junto con placas del puesto.",
    twoSides,
  ],
  "target-missing": [
    "La hoja pide el blanco «{name}», que el trabajo no tiene.",
    "Enséñelo, tómelo de la biblioteca de blancos o corrija el nombre.",
  ],
  "target-other-name": [
    "El paso «{step}» pide el blanco «{wanted}», y el trabajo solo tiene «{only}». Se usa ese: ¿es el mismo?",
    "Dé al blanco y al paso el mismo nombre.",
  ],
  "target-size-missing": [
    "La comprobación usa una esquina de «{name}», cuyo ancho y alto no están indicados.",
    "Indique ancho y alto en el blanco del paso o en la biblioteca de blancos.",
  ],
  "target-turned-over": [
    "El blanco «{name}» se aparta {deg:n0}° del giro pedido: ¿hay una placa del soporte al revés, o la cara mira hacia otro lado?",
    "Compruebe cómo están puestas las placas del soporte y hacia dónde mira la cara en la hoja.",
  ],
  "sheet-invented": [
    "La hoja de colocación «{title}» es un ejemplo inventado: sus números no son de ningún coche.",
    "Anote en una hoja propia los números del procedimiento del fabricante.",
  ],
  "second-position-asked": [
    "La hoja de colocación pide una segunda posición del coche{known?no= y ninguna cuenta|*=}. {known?no=|*=Con una sola, la línea de empuje es segura dentro de {deg:deg2}, {mm:mm0} en el blanco, porque lleva la inclinación de las placas en las llantas.}",
    rollAgain,
  ],
  "second-position-helps": [
    "Con una sola posición del coche la línea de empuje es segura dentro de {deg:deg2}, {mm:mm0} en el blanco, porque lleva la inclinación de las placas en las llantas.",
    rollAgain,
  ],
} as const satisfies Readonly<Partial<Record<RemarkCode, RemarkPair>>>;
