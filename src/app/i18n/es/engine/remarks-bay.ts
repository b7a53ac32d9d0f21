import type { RemarkCode } from "../../../../job/result/remark-codes.ts";
import type { RemarkPair } from "../../en/text-types.ts";

const rollOn = "Haga rodar el coche hasta que las ruedas hayan dado cerca de media vuelta.";

const shared =
  "Las fotos encajan {factor:n1} veces peor que impresiones nítidas, y la causa es común: {cause?motion=el teléfono se movió más deprisa que una mano mientras se leían las imágenes|lens=el objetivo no es el del paso de cámara|print=las placas no están impresas al tamaño que dio la comprobación|focus=la cámara cambió de foto a foto más de lo que solía: otro modo, zoom o recorte|*=está en casi todas las fotos y ni objetivo, ni impresión, ni enfoque, ni mano la explican}. {costs?yes=Sin ella una comprobación cambiaría {amount:amount}|*=Todos los intervalos son más anchos por ella}.";
const sharedRemedy =
  "{cause?motion=Quédese quieto, sujete el teléfono con las dos manos y espere un momento antes de cada foto|lens=Repita el paso de cámara con este teléfono y este zoom, y mida otra vez|print=Mida otra vez las barras de las placas; las de otra impresión necesitan las suyas|focus=Ponga la cámara como en el paso de cámara, sin zoom, y repita las fotos|*=Compruebe que las placas están planas y quietas y que las fotos son las originales}.";

/** Observaciones sobre placas, ajuste, coche y trabajo. */
export const bayRemarks = {
  "no-board": [
    "En {about} no se encontró ninguna placa; no se usa.",
    "Repita la foto con al menos tres placas a la vista, nítidas y con luz uniforme.",
  ],
  "no-sheet": [
    "En {about} no se encontró la hoja de cámara.",
    "Repita la foto con la hoja entera, nítida y con luz uniforme.",
  ],
  "same-board-twice": [
    "La placa {board:board} aparece {times} veces en una foto; se dejó fuera.",
    "Imprima cada placa una sola vez y póngala en un solo sitio, y repita la foto.",
  ],
  "mirrored-print": [
    "La impresión de la placa {board:board} está reflejada; no se puede usar.",
    "Imprima otra vez la página sin reflejar.",
  ],
  reflection: [
    "{photo}: se dejó fuera un reflejo de la placa {board:board} en pintura o cristal.",
    "",
  ],
  "board-misread": [
    "{photo}: lo que se tomó por la placa {board:board} no puede ser la imagen de una impresión plana; se dejó fuera.",
    "Mire la foto en ese lugar: ¿un reflejo, algo delante, una página arrugada? Tome otra si esta placa hace falta.",
  ],
  "unknown-board": [
    "En {photo} está la placa {board:board}, que no es de este trabajo.",
    "Quítela del puesto o indíquela en el trabajo.",
  ],
  "print-unchecked": [
    "La impresión no se comprobó con una regla: la escala es solo tan segura como una impresora desconocida (± 1\u00a0%) y las longitudes medidas.",
    "Mida las dos barras de una página impresa y anote lo que dice la regla.",
  ],
  "print-scaled": [
    "La página se imprimió al {scale:pct1}, no al 100 %, como cuando la impresora la ajusta a su papel. Sin notarlo, una distancia de {typed?mm=4 m|*=13,1 pies} saldría {error:mm1} demasiado {way?long=larga|short=corta}.",
    "Lo mejor es imprimir otra vez al 100 % (tamaño real). Hasta entonces se usa el tamaño medido; solo vale para páginas impresas de la misma manera.",
  ],
  "print-stretched": [
    "La impresión es un {share:pct2} demasiado {way?wider=ancha|taller=alta}, una dirección respecto a la otra. Se usan los dos tamaños medidos.",
    "Lea otra vez las dos barras. Las placas de otra impresora o de otro día son un juego aparte, con sus propias lecturas.",
  ],
  "print-reading": [
    "{why?swapped=Las dos lecturas parecen cambiadas: cada una corresponde a la otra barra.|inches=La lectura {reading:mm1} en la {bar?horizontal bar=barra horizontal|*=barra vertical} de {nominal:mm1} parece en pulgadas.|centimetres=La lectura {reading:mm1} en la {bar?horizontal bar=barra horizontal|*=barra vertical} de {nominal:mm1} parece en centímetros.|off=La lectura {reading:mm1} en la {bar?horizontal bar=barra horizontal|*=barra vertical} de {nominal:mm1} no puede ser correcta: se aparta más del 10 %.|*=La exactitud con que se leyó la regla debe ser mayor que 0.}",
    "Mida de marca a marca y anote la longitud en la unidad que está junto al campo.",
  ],

  "network-input": [
    "Los datos del ajuste se contradicen ({about}).",
    "Compruebe longitudes, placas e impresión.",
  ],
  "not-connected": [
    "Nada une estos grupos entre sí: {groups:said}.",
    "Haga fotos que muestren a la vez una placa de un grupo y una del otro.",
  ],
  "not-determined": [
    "Las fotos y medidas no determinan {kind?photo=desde dónde se hicieron estas fotos|board=dónde están estas placas|camera=el objetivo de esta cámara|print=el tamaño de esta impresión|frame=dónde está esto respecto a las placas|=esto}: {what}.",
    "Haga más fotos que muestren estas placas junto con otras, desde otros sitios, o mida lo que falta.",
  ],
  "not-converged": [
    "El ajuste no se asentó en {iterations} pasos.",
    "Compruebe los tamaños y longitudes indicados y haga más fotos desde otros sitios.",
  ],
  "two-solutions": [
    "Las fotos apenas dicen en cuál de dos posturas reflejadas está {kind?board=la placa|photo=la foto} {key}.",
    "Haga una foto desde más cerca o desde otro lado, con más placas a la vista.",
  ],
  "one-place": [
    "Todas las fotos se hicieron casi desde el mismo sitio (a {widest:n1}° como mucho): nada comprueba las profundidades.",
    "Haga más fotos al menos un paso largo a la izquierda y a la derecha.",
  ],
  "board-moved": [
    "La placa {board:board} se movió {shift:mm1} y {turn:deg2} entre las fotos {before} y {after}.",
    "Sus dos lugares se mantienen separados. Fije la placa y repita las fotos si hacen falta ambos.",
  ],
  "board-two-places": [
    "La placa {board:board} está en dos lugares, a {apart:mm0}: {count|la foto|las fotos} {photos} {count|la muestra|la muestran} en otro sitio que las demás.",
    "Busque una segunda impresión de ese número y sáquela del puesto. Si la placa se movió, repita todas sus fotos.",
  ],
  "board-scaled": [
    "La placa {board:board} parece impresa al {scale:pct2} del tamaño indicado (incierto en {doubt:pct2}).",
    "Mida otra vez la barra de esta placa y anote su longitud.",
  ],
  "boards-of-two-prints": [
    "Las placas {boards} están impresas al {scale:pct2} del tamaño de las demás (incierto en {doubt:pct2}): son de otra impresora o de otra impresión.",
    "Compruebe esas páginas con la regla: nómbrelas como una impresión aparte con sus dos barras, o imprima todas las placas otra vez en una sola impresora.",
  ],
  "does-not-fit": [
    "La placa {board:board} no encaja en la foto {photo}.",
    "Mire esa foto: ¿la placa está tapada en parte, doblada, o la tocó alguien?",
  ],
  "print-check-elsewhere": [
    "La comprobación de impresión se leyó en páginas con celdas de {cell:mm0}; no dice nada de {count|la placa|las placas} {boards} de otro tamaño, que {count|cuenta|cuentan} como sin comprobar (seguras al 1 %).",
    "Nómbrelas como otra impresión, con sus dos barras, o mida una longitud hasta una de ellas.",
  ],
  "statement-does-not-fit": [
    "{source:word}{count?0=|*= (placa {boards})}: no encaja con las fotos; se aparta {off:n1} veces su incertidumbre típica.",
    "Mídalo otra vez o indique una incertidumbre mayor.",
  ],
  "lengths-against-print": [
    "Las longitudes medidas hacen todo un {percent:n2} % {way?larger=mayor|*=menor} que la regla en la impresión: {off:n1} veces lo que ambas permiten.",
    "Mida otra vez las longitudes (¿se contó el gancho de la cinta o el extremo del láser?) y lea otra vez las barras.",
  ],
  "photo-altered": [
    "La foto {photo} entera no encaja con la cámara: su zoom o su centro se apartan {off:n1} veces lo que hacen el enfoque y la estabilización.",
    "Puede que se girara, recortara, enderezara o editara: use el archivo tal como lo escribió la cámara, o repita la foto.",
  ],
  "misfits-more": [
    "{count|Hay otra vista o medida que no encaja|Hay otras {count} vistas y medidas que no encajan}.",
    "Corrija lo que se nombra y mida otra vez.",
  ],
  "misfit-shared": [shared, sharedRemedy],
  "misfit-large": [shared, sharedRemedy],
  "required-other-unit": [
    "«{check:said}»: la hoja pide {required:mm1} y se midieron {measured:mm1}. Coinciden si el número de la hoja está en {unit?inches=pulgadas|centimetres=centímetros|*=metros}.",
    "Mire otra vez el procedimiento y corrija el número en la hoja de colocación.",
  ],
  "check-depends": [
    "«{check:said}» cambia {amount:amount} por una sola cosa que contradice a las demás. {what:said}",
    "Corrija lo que se nombra y mida otra vez.",
  ],
  "second-position-brought": [
    "Compensación del salto de las placas: «{check:said}» era {was:amount} ± {unsure:amount} solo con la primera posición y es {is:amount} ± {sure:amount} con todas.",
    "",
  ],
  "given-less-weight": [
    "La placa {board:board} encaja mal en la foto {photo} ({px:n2} píxeles) y cuenta solo un {share:pct0}.",
    "Mire esa foto.",
  ],
  "misfit-overall": [
    "En conjunto las fotos encajan {factor:n1} veces peor de lo indicado, sin una causa única.",
    "Compruebe que el perfil de cámara es de este teléfono y que las placas están planas.",
  ],
  "noise-widened": [
    "Las fotos encajan {factor:n1} veces peor de lo que dice su ruido; todas las incertidumbres se ampliaron a la par.",
    "Sujete quieto el teléfono, evite reflejos y compruebe que las placas están planas.",
  ],

  "floor-board-off-plane": [
    "El suelo bajo la placa {board:board} queda {rise:mm1} por {way?above=encima|below=debajo} del plano de las demás (desigualdad indicada: {stated:mm1}).",
    "Mire debajo de la placa; si el suelo es así de verdad, indique su desigualdad.",
  ],
  "floor-differs": [
    "El suelo bajo el blanco está {rise:mm1} más {way?higher=alto|lower=bajo} que bajo el coche. La hoja cuenta las alturas desde: {counted:word}.",
    "Asegúrese de que el procedimiento se refiere al mismo suelo.",
  ],
  "methods-agree": [
    "Dos métodos coinciden: {what:said}, a {gap:mm1} (incertidumbre típica {sd:mm1}).",
    "",
  ],
  "methods-disagree": [
    "Dos métodos no coinciden: {what:said}, a {gap:mm1} (incertidumbre típica {sd:mm1}).",
    "Marque otra vez el punto con la plomada y compruebe que la placa asienta plana en la llanta.",
  ],
  "position-not-used": [
    "La posición «{position}» del coche no cuenta: {lack?plates={count?0=ninguna placa de rueda se ve|*=solo una placa de rueda se ve} en ella y también en la primera; hacen falta dos|floor=sin tres placas de suelo y sin placa en una rueda trasera nada dice cómo se movió el coche|*=sin placa en una rueda trasera nada dice cómo se movió el coche}.",
    "{lack?plates=Fotografíe las placas de rueda de las dos posiciones, cada vez junto con placas que no se movieron|floor=Ponga tres placas de suelo o más, o placas en las ruedas traseras, y repita las fotos de las dos posiciones|*=Ponga placas en las ruedas traseras y repita las fotos de las dos posiciones}.",
  ],
  "rolled-too-little": [
    "Entre la primera posición y la «{position}» una rueda giró solo {turn:n0}°: se elimina poco del descentrado de las placas.",
    rollOn,
  ],
  "plate-sits-badly": [
    "La placa de la rueda {place:word} está {what?tilt=inclinada|*=descentrada} {amount:amount}, mucho más de lo indicado: asienta mal o se movió entre las posiciones.",
    "Asiente otra vez la placa y fotografíe de nuevo las dos posiciones.",
  ],
  "wheel-board-upside-down": [
    "La placa de rueda {board} está del revés.",
    "La medición lo permite; compruebe que es la placa de esa rueda.",
  ],
  "wheel-boards-no-fit": [
    "Las cuatro placas de rueda no están como las ruedas de un coche: caras hacia fuera, de dos en dos.",
    "Compruebe qué placa está en qué rueda y que cada cara impresa mira hacia fuera.",
  ],
  "wheel-boards-swapped": [
    "Hay placas de rueda cambiadas: {pairs:said}. Con los lugares indicados el coche saldría reflejado o de espaldas al blanco.",
    "Ponga cada placa en su rueda o indique en el trabajo qué placa está en qué rueda.",
  ],

  "entry-unread": [
    "«{text}» en el campo «{label}» no se puede leer como número.",
    "Corríjalo o vacíe el campo; hasta entonces no hay veredicto.",
  ],
  "job-input": ["{field:path}: {reason:said}.", "Corrija ese dato."],
  "no-photos": ["Este trabajo no tiene fotos.", "Añada las fotos del puesto."],
  "reading-without-check": [
    "La medida con {by} es de una comprobación «{check}» que la hoja de colocación no tiene.",
    "Corrija el id de la comprobación o quite la medida.",
  ],
  "photos-missing": [
    "job.json nombra fotos que no están ({group}): {names}.",
    "Corrija los nombres, letra por letra y con su extensión, o quítelos.",
  ],
  "nothing-usable": [
    "No se puede usar ninguna foto: vea la observación de cada una.",
    "Repita las fotos con las placas del juego a la vista.",
  ],
  "length-without-board": [
    "La longitud medida entre las placas {from} y {to} no se usa: en ninguna foto se ve {missing:board}.",
    "Haga una foto que muestre esa placa junto con otras.",
  ],
  "stand-photo-weak": [
    "{photo} muestra junto al soporte movido {floor?0=ninguna placa de suelo|*=solo una placa de suelo}.",
    "Repítala con dos o más placas de suelo a la vista.",
  ],
  "stand-board-turned": [
    "La placa {board:board} está girada {turn:n0} grados en su plano respecto a como se enseñó junto a las demás placas del soporte.",
    "Fije todas las placas del soporte con el lado hacia arriba con que se enseñaron, o enseñe otra vez el objetivo.",
  ],
  "body-moved": [
    "{body?car=El coche|*=El soporte} se movió {shift:mm1} y {turn:deg2} entre las fotos {before} y {after}.",
    "{body?car=Calce las ruedas, que nadie suba al coche ni se apoye en él|*=Fije el soporte, no lo toque} y repita todas las fotos.",
  ],
  "body-placed-again": [
    "{body?car=El coche|*=El soporte} estaba en otro sitio en parte de las fotos: {count|la foto|las fotos} {photos} {count|lo muestra|lo muestran} a {shift:mm0} de donde está a partir de la foto {after}.",
    "{body?car=Si se hizo rodar o se giró para una segunda posición, diga qué fotos son de cada posición. Si no, calce las ruedas y repita todas las fotos.|*=Quite las fotos del sitio donde ya no está, o repita todas las fotos.}",
  ],
  unsteady: [
    "La placa {board:board} se movió mientras se hacían las fotos.",
    "Fíjela, no toque el coche ni el soporte y repita todas sus fotos.",
  ],
  "last-view-odd": [
    "La placa {board:board} no está en la foto {photo}, la última que la muestra, donde la muestran las demás: puede haberse movido entonces.",
    "Haga otra foto de ella junto con placas que no se movieron.",
  ],
  "majority-unclear": [
    "La foto {photo} muestra {count|la placa|las placas} {boards} en otro sitio que las demás fotos, y muy pocas placas de ella coinciden con las demás para saber cuál es correcta: algo puede haberse movido entre las fotos.",
    "Si se tocó el coche, el soporte o las placas, repita todas las fotos. Si no, repita esta foto con más placas a la vista.",
  ],
  "moved-after-run": [
    "{what:said}",
    "Mida otra vez la colocación y repita la calibración si el procedimiento lo pide.",
  ],
  "position-photos-unlisted": [
    "job.json solo nombra una posición del coche, «{position}», y {count|una foto no está en ninguna|{count} fotos no están en ninguna}: {names}.",
    "Nombre cada posición con sus fotos, primero la que se comprueba, o quite las posiciones si el coche no se movió.",
  ],
  "reading-disagrees": [
    "{what:said}",
    "Tome la medida otra vez y busque lo que ambas tienen en común: origen, lado, unidad.",
  ],
  "same-board": [
    "Las placas del soporte y las indicadoras deben ser todas distintas.",
    "Corrija los números de las placas.",
  ],
  "teach-points-close": [
    "Las puntas de las placas indicadoras están demasiado cerca entre sí o de una misma línea: {across:mm0} de lado, {up:mm0} hacia arriba; hacen falta al menos {least:mm0}.",
    "Póngalas más separadas sobre la cara, cerca de sus bordes, y repita las fotos.",
  ],
  "teach-too-unsure": [
    "Dónde está el blanco respecto a la placa {board:board} solo se sabe con {shift:mm1} y {turn:deg1} (desviaciones típicas): demasiado poco para colocarlo.",
    "Ponga las puntas más separadas sobre la cara, sujételas con más exactitud y haga más fotos desde otros lados.",
  ],
  "teach-points-mixed": [
    "Las placas indicadoras de la derecha y de arriba parecen cambiadas, o una punta señala otro sitio.",
    "Compruebe qué placa está en qué punto, visto el blanco de frente.",
  ],
  "teach-board-missing": [
    "En ninguna foto se ven estas placas: {boards:board}.",
    "Haga al menos tres fotos que muestren juntas las placas del soporte y las indicadoras.",
  ],
} as const satisfies Readonly<Partial<Record<RemarkCode, RemarkPair>>>;
