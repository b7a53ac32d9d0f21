import type { SaidCode } from "../../../../job/said-codes.ts";
import type { PlanCode } from "../../../../plan/words.ts";

/** Frases del motor que no son observaciones: nombres, consejos, estabilidad, calidad de las fotos. */
export const saidEs = {
  "reason: missing": "falta",
  "reason: kind":
    "hace falta {expected?number=un número|int=un número entero|string=un texto|array=una lista|object=un grupo de datos|boolean=sí o no|*=otra clase de dato}",
  "reason: least":
    "{of?text=el texto es demasiado corto|list=hacen falta {inclusive?yes=al menos|*=más de} {limit}|*=debe ser {inclusive?yes=al menos|*=mayor que} {limit}}",
  "reason: most":
    "{of?text=el texto es demasiado largo|list=caben {inclusive?yes=como mucho|*=menos de} {limit}|*=debe ser {inclusive?yes=como mucho|*=menor que} {limit}}",
  "reason: step": "debe ser un múltiplo de {limit}",
  "reason: form": "el texto no tiene la forma esperada",
  "reason: choice": "debe ser una de estas cosas: {choices:word}",
  "reason: unknown-field": "no existe ningún campo «{names}»",
  "reason: variant": "no es ninguna de las formas posibles",
  "reason: rule": "contradice a otro dato",
  "reason: same-board": "la misma placa aparece dos veces",
  "reason: same-name": "«{name}» aparece dos veces",
  "reason: wheel-plate": "la placa {board} es una placa de rueda",
  "reason: no-point": "no hay ningún punto de plomada «{name}»",
  "reason: levels": "el nivel para no cumplir debe ser menor que el nivel para cumplir",

  "label: distance":
    "Distancia por delante {origin?dropped point=del punto «{point}»|*=de la {origin:word}}",
  "label: lateral offset": "Desplazamiento a la izquierda de la {axis:word}",
  "label: height": "Altura sobre el {above:word}",
  "label: yaw": "Giro respecto a la {axis:word}, antihorario visto desde arriba",
  "label: pitch": "Cara que mira hacia arriba",
  "label: roll": "Extremo izquierdo alto, visto de frente",
  "label: straight distance": "Distancia directa",
  "label: range": "Distancia horizontal",
  "label: bearing": "Rumbo desde el frente, antihorario",
  "label: equal diagonals": "Diferencia de las diagonales",
  "label: parallel": "Giro respecto al eje {axle:word}",
  "label: mat corner along":
    "Esquina {corner:word} de la lona, por delante {origin?dropped point=del punto «{point}»|*=de la {origin:word}}",
  "label: mat corner across": "Esquina {corner:word} de la lona, a la izquierda de la {axis:word}",
  "label: floor flatness": "Desigualdad del suelo",
  "label: floor slope": "Subida del suelo hacia el blanco",
  "label: free space": "Espacio libre",

  "advice-because":
    "La mayor parte de la incertidumbre ({share:pct0} de su varianza) viene de: {source:word}.",
  "advice-outside":
    "El valor medido queda fuera de la tolerancia: haga el movimiento y fotografíe otra vez el soporte.",
  "advice-nearer": "Un valor más cerca del centro de la tolerancia lo demostraría. O bien:",
  "advice-inside": "Un valor más alejado del límite, hacia dentro, lo demostraría. O bien:",
  "advice-cannot":
    "Con esta incertidumbre no se podría demostrar ni un valor en el centro de la tolerancia.",
  "advice-enough": "Solo eso puede bastar.",
  "advice-not-enough": "Solo eso no basta: también debe bajar la siguiente parte más grande.",
  "advice-needed": "Hace falta una incertidumbre típica de {needed:fine}; ahora es de {sd:fine}.",
  "mend: image":
    "Haga más fotos, más cerca y desde más lados, con placas del coche y del soporte a la vez.",
  "mend: lens": "Repita la etapa de cámara con más fotos de la hoja, que llenen la imagen.",
  "mend: focus and stabilisation":
    "Haga más fotos desde sitios distintos: cada una promedia el enfoque y el desplazamiento del teléfono.",
  "mend: hand motion":
    "Sujete el teléfono quieto con las dos manos, apoyándose en algo, y haga más fotos.",
  "mend: print scale":
    "Mida con una regla de acero las barras impresas o añada una longitud más larga.",
  "mend: board flatness": "Pegue las placas a algo plano e indíquelo.",
  "mend: length reference":
    "Mida una longitud más larga entre dos placas, con mejor cinta o dos veces.",
  "mend: floor": "Ponga más placas de suelo junto a las ruedas y bajo el blanco.",
  "mend: wheel plates":
    "Haga rodar el coche media vuelta de rueda y fotografíe otra vez las placas de rueda.",
  "mend: target offset":
    "Enseñe otra vez el blanco, con una placa indicadora en su punto de referencia.",
  "mend: other": "Marque otra vez los puntos de plomada con una plomada más fina.",

  "stability-few":
    "Solo {count} placas están en los dos grupos de fotos; hacen falta {fewest} para saber si algo se movió.",
  "stability-cannot":
    "Las fotos de {which?before=antes|after=después} de la calibración no se pueden comparar. {reason:said}",
  "as-named": "{name}",
  "stability-moved": "Se movió desde las primeras fotos: {boards:said}.",
  "stability-board": "la placa {board:board}, {shift:mm1} (± {expanded:mm1})",
  "stability-differ":
    "Los dos grupos de fotos difieren, pero no de un modo que señale a placas sueltas. Repita las fotos de después, con más placas en cada una.",
  "stability-still": "Ninguna de las {count} placas se movió más de {least:mm1} (95\u00a0%).",

  "stability-unseen":
    "Ninguna de las placas de los dos grupos se movió, pero las fotos de después {what?stand=no muestran ninguna placa del soporte|*=muestran menos de dos placas de rueda}: no está demostrado que el {what?stand=soporte|*=coche} siga en su sitio.",

  "cross-agree":
    "Coincide con {by}: difieren en {gap:amount}, y las dos incertidumbres permiten {room:amount} (En {en:n2}).",
  "cross-disagree":
    "No coincide con {by}: difieren en {gap:amount}, más de los {room:amount} que permiten las dos incertidumbres (En {en:n2}). Una de las dos medidas está mal o afirma demasiado; repita ambas.",

  "faint-unusable":
    "Blanco y negro apenas se distinguen: demasiado oscuro o velado por un reflejo.",
  "covered-unusable": "El {share:pct0} de la placa está tapado.",
  small: "La placa es pequeña en la foto ({cell:n1} píxeles por celda): acérquese.",
  "flat-angle": "La placa se ve muy de lado ({slant:n0}°).",
  shaken: "La cámara se movió durante la exposición: sujétela quieta o ponga más luz.",
  blurred: "La placa está desenfocada o movida ({blur:n1} píxeles).",
  faint: "Poca diferencia entre blanco y negro: ponga más luz o evite reflejos.",
  burnt: "El papel está quemado hasta el blanco puro: reduzca la exposición.",
  "uneven-light": "La luz sobre la placa es desigual (reflejo o sombra dura).",
  covered: "El {share:pct0} de la placa está tapado o alterado.",
  bent: "La placa está curvada un {share:pct1} de su ancho: fíjela a algo plano.",
  misfit: "La impresión no encaja bien con una placa plana ({residual:n2} píxeles).",

  group: "placas {boards:board} en {photos}",
  "group-photos": "{photos} (sin placas encontradas)",
  "group-boards": "placas {boards:board} (en ninguna foto)",
  "method-hub":
    "el punto de plomada del buje y la placa de la rueda {place:word}, {way?along=a lo largo|across=a lo ancho} del coche",
  "method-point": "el punto de plomada «{name}» y la línea central",
  "method-axle": "el centro del eje {place:word} y la línea central por los puntos de plomada",
  "board-on-wheel": "la placa {board} parece estar en la rueda {place:word}",

  "plan-shot":
    "{posture?kneeling=Arrodíllese|arms up=De pie, con el teléfono en alto,|*=De pie, con el teléfono a la altura del pecho,} {asideWay?none=|*=a {aside:mm0} a la {asideWay?left=izquierda|*=derecha} }{both?yes=y |*=}{aheadWay?none=|ahead=a {ahead:mm0} por delante |*=a {ahead:mm0} por detrás }{some?yes=|*=junto }{near?stand={some?yes=del|*=al} soporte|front left wheel={some?yes=de|*=a} la rueda delantera izquierda|front right wheel={some?yes=de|*=a} la rueda delantera derecha|rear left wheel={some?yes=de|*=a} la rueda trasera izquierda|*={some?yes=de|*=a} la rueda trasera derecha}, objetivo a {height:mm0} del suelo, teléfono {held?upright=vertical|*=tumbado y nivelado}; en la imagen: placas {boards}.",
  "plan-floor-board":
    "Placa {board}: {aheadWay?none=a la altura del eje delantero|ahead=a {ahead:mm0} por delante del eje delantero|*=a {ahead:mm0} por detrás del eje delantero}, {asideWay?none=sobre la línea central|*=a {aside:mm0} a la {asideWay?left=izquierda|*=derecha} de la línea central}.",
  "plan-length":
    "Medir de la placa {from} a la placa {to} con {sd:mm0} haría más segura «{check}»: ± {with:amount} en lugar de ± {without:amount}.",
  "plan-slip":
    "Una placa que resbale {slip:mm0} entre dos de estas fotos se notaría con seguridad.",
  "plan-enough": "Las fotos demuestran lo que pide la ficha: no hacen falta más.",
  "plan-out-of-reach":
    "Más fotos no darían seguridad suficiente a: {checks}. Lo impide sobre todo: {source:word}.",
} as const satisfies Readonly<Record<SaidCode | PlanCode, string>>;
