import type { liveTexts as english } from "../en/live.ts";
import type { Same } from "../en/same.ts";

export const liveTexts: Same<typeof english> = {
  "live.title": "Por la cámara",
  "live.open": "Mirar por la cámara",
  "live.explain":
    "La imagen dice cómo se ven las placas desde aquí. Solo guía: la foto se hace con la cámara del teléfono.",
  "live.back": "Volver a las fotos",
  "live.starting": "La cámara arranca",
  "live.loading": "Cargando el código de visión",
  "live.seen": "{count} {count|placa|placas} a la vista",
  "live.torch": "Lámpara",
  "live.lens": "Objetivo",
  "live.lensNote":
    "Quédese con un objetivo: otro es otra cámara y necesita sus propias fotos de la hoja.",
  "live.lensChanged":
    "El objetivo cambió de {before} a {now}. Las fotos con otro objetivo necesitan sus propias fotos de la hoja.",
  "live.counts": "Fotos por placa",
  "live.countsNone": "Aún no se conoce ninguna placa. Ponga placas a la vista.",
  "live.take": "Hacerla ahora con la cámara del teléfono",
  "live.auto": "Foto desde esta página, sola cuando esté quieta",
  "live.autoHint":
    "Las fotos de esta página son una cámara aparte. Haga también aquí las fotos de la hoja, y ninguna con la cámara del teléfono en este trabajo.",
  "live.autoTaken": "{count} {count|foto hecha|fotos hechas} desde esta página",
  "live.check": "Comprobar si este teléfono sirve para fotos desde la página",
  "live.checking": "Se comparan dos fotos",
  "live.checkSmall":
    "Las fotos de esta página tienen aquí solo {width} x {height} px. Use la cámara del teléfono.",
  "live.checkUnsteady":
    "Dos fotos de esta página difieren en tamaño o en el lugar de las placas. Use la cámara del teléfono.",
  "live.checkNothing": "Mantenga dos placas o más a la vista y quietas, y compruebe otra vez.",
  "live.checkGood":
    "Dos fotos de {width} x {height} px coinciden en {px} px. Esta página puede hacer fotos.",
  "advice.none": "Ninguna placa a la vista",
  "advice.closer": "Más cerca: la placa {board} es demasiado pequeña",
  "advice.flat": "La placa {board} se ve demasiado plana: rodéela",
  "advice.glare": "Reflejo en la placa {board}: apártese",
  "advice.hold still": "Quédese quieto",
  "advice.more boards": "Solo {count} a la vista: tres o más",
  "advice.wanted": "Aún falta: placa {board}",
  "advice.nothing new": "De estos hay bastantes: vaya al sitio siguiente",
  "advice.good": "Bien: haga la foto",
  "camera.problem.insecure":
    "El navegador da la cámara solo a páginas con un certificado de confianza. Abra Plumbshot por https (npm start -- --https en el ordenador) o haga fotos con la cámara del teléfono.",
  "camera.problem.no camera":
    "No se encontró ninguna cámara. Use un teléfono, o haga fotos con su cámara y elíjalas.",
  "camera.problem.denied":
    "Se denegó la cámara. Permítala para esta página en los ajustes del navegador (el signo junto a la dirección) e inténtelo otra vez. Los iPhone preguntan cada vez: permítala cada vez.",
  "camera.problem.busy":
    "Otra aplicación tiene la cámara. Ciérrela, o la otra pestaña, e inténtelo otra vez.",
  "camera.problem.too coarse":
    "Esta imagen es demasiado basta para ver placas a distancia. Elija otro objetivo o haga fotos con la cámara del teléfono.",
  "camera.problem.stopped": "Se quitó la cámara. Inténtelo otra vez.",
  "camera.problem.unknown": "La cámara no arranca. Inténtelo otra vez o reinicie el teléfono.",
  "camera.again": "Intentar otra vez",
  "watch.title": "Vigilar durante la pasada",
  "watch.explain":
    "Teléfono en un trípode o bien calzado, soporte y dos o tres placas del suelo a la vista, ninguna tapada. Después que nadie lo toque.",
  "watch.open": "Vigilar el soporte",
  "watch.start": "Empezar a vigilar",
  "watch.stop": "Parar y guardar el registro",
  "watch.settling": "Asentándose: faltan {count}",
  "watch.quiet": "Nada se ha movido",
  "watch.hasMoved": "Algo se movió: vea la lista",
  "watch.quietLong": "Vigilado {minutes} min; {count} {count|placa|placas} a la vista.",
  "watch.moved":
    "{body} se movió: {sideways} ± {sidewaysU} de lado, {depth} ± {depthU} en profundidad. Pare la pasada, corríjalo y mida otra vez.",
  "watch.stand": "El soporte",
  "watch.board": "La placa {board}",
  "watch.phone moved": "Se tocó el teléfono ({px} px). Las placas siguen en su sitio entre sí.",
  "watch.begun anew":
    "Se movió el teléfono. La vigilancia empieza de nuevo; no se sabe si el soporte se movió entretanto. Haga fotos después de la pasada.",
  "watch.hidden": "La placa {board} lleva {seconds} s tapada.",
  "watch.not seen": "La página estuvo oculta {seconds} s: entonces no se vigiló nada.",
  "watch.watching": "Se {count|vigila|vigilan} {count} {count|placa|placas}.",
  "watch.noAnchor":
    "Ninguna placa del suelo a la vista: un teléfono tocado no se distingue de un soporte movido.",
  "watch.seen": "Entendido",
  "watch.chart": "{board}: movimiento, últimos diez minutos. Sombreado: lo que hace el ruido solo.",
  "watch.sideways": "derecha",
  "watch.down": "abajo",
  "watch.depth": "lejos",
  "watch.kept": "El registro se guarda con los archivos del expediente.",
  "level.title": "Nivelar una barra con el teléfono",
  "level.open": "Nivelar la barra con el teléfono",
  "level.explain":
    "Apoye el teléfono con un canto largo en la barra, pantalla hacia usted, y lea. Gírelo de extremo a extremo, el mismo canto en la barra, pantalla al otro lado, y lea otra vez. Lo que añaden teléfono y funda se anula.",
  "level.first": "Primera cara: apóyelo y lea",
  "level.second": "Ahora gírelo de extremo a extremo y lea",
  "level.reading": "Tres segundos: no lo toque",
  "level.read": "Leer",
  "level.again": "Empezar de nuevo",
  "level.result": "{angle} ± {u} ({slope} ± {slopeU} en {length})",
  "level.topHigher": "El extremo donde estuvo primero la parte alta del teléfono está más alto.",
  "level.topLower": "El extremo donde estuvo primero la parte alta del teléfono está más bajo.",
  "level.noTilt": "Sin inclinación más allá de lo que este teléfono distingue.",
  "level.none":
    "El teléfono no da el movimiento a esta página. Ábrala por https, permita el movimiento cuando pregunte, o use un nivel de burbuja.",
  "level.too few": "Llegaron pocas lecturas. Lea otra vez.",
  "level.shaken": "El teléfono no estaba quieto. Suéltelo y lea otra vez.",
  "level.not on edge": "El teléfono no está sobre un canto largo. Colóquelo y lea otra vez.",
  "level.caution":
    "Una ayuda para colocar la barra: no entra en ninguna medida. Las fotos deciden si el blanco está a nivel.",
  "watch.caution":
    "Una ayuda: dice que algo se movió. Que nada se movió lo prueban las fotos de después de la pasada.",
};
