import type { frameTexts as english } from "../en/frame.ts";
import type { Same } from "../en/same.ts";

export const frameTexts: Same<typeof english> = {
  "action.keep": "Conservar",
  "action.tryAgain": "Probar otra vez",
  "action.understood": "Entendido",
  "action.undo": "Deshacer",

  "frame.skip": "Ir a la parte principal",

  "needs.vectors": "Este navegador no puede medir fotos.",
  "needs.vectorsExplain":
    "Le falta WebAssembly con vectores de 128 bits. Actualícelo o use un navegador de mediados de 2023 o posterior. El modo de aislamiento de un teléfono también lo quita: desactívelo para esta página.",
  "needs.storage":
    "Este navegador no guarda nada para esta página, así que no se puede conservar ningún trabajo.",
  "needs.storageExplain":
    "Permita que esta página guarde datos (cookies y datos del sitio) o use otro navegador.",

  "notice.caution": "Atención.",
  "notice.cost": "Desplaza «{check}» en {amount}.",
  "notice.more": "{count} más, de menos peso",
  "notice.stop": "Alto.",

  "stage.car": "Coche",
  "stage.bay": "Puesto",
  "stage.boards": "Placas",
  "stage.camera": "Cámara",
  "stage.photos": "Fotos",
  "stage.placement": "Colocación",
  "stage.record": "Registro",

  "next.car": "Diga qué coche es y repase las comprobaciones previas.",
  "next.bay": "Compruebe el suelo, el espacio y la luz del puesto.",
  "next.boards": "Anote lo que dice la regla en las barras impresas y una longitud larga medida.",
  "next.camera": "Fotografíe una vez la hoja de cámara para conocer el objetivo de este teléfono.",
  "next.photos": "Reparta las placas y fotografíelas desde todos los lados.",
  "next.placement": "Elija la hoja de colocación y lea el veredicto.",
  "next.move": "Mueva el soporte como se indica y fotografíelo otra vez.",
  "next.doubt": "Lea qué habla en contra del veredicto y corríjalo.",
  "next.failed": "Las fotos aún no dan un resultado: vea por qué y corríjalo.",
  "next.reshoot": "El soporte se ha movido: fotografíelo donde está ahora.",
  "next.step": "Este paso está bien colocado: siga con el próximo paso de la hoja.",
  "next.record": "Complete el registro, imprímalo y guarde el trabajo como archivo.",

  "status.done": "hecho",
  "status.next": "Haga esto ahora",
  "status.carUnnamed": "coche sin nombrar",
  "status.checksOpen": "{count} {count|comprobación pendiente|comprobaciones pendientes}",
  "status.checksDone": "todas las comprobaciones hechas",
  "status.printUnchecked": "impresión sin comprobar",
  "status.noLength": "falta una longitud medida",
  "status.boardsDone": "impresión comprobada, {count} {count|longitud|longitudes}",
  "status.cameraOwn": "objetivo a partir de las fotos del trabajo",
  "status.cameraProfile": "perfil guardado elegido",
  "status.cameraNone": "objetivo aún desconocido",
  "status.cameraFailed": "las fotos de la hoja no dan un objetivo",
  "status.cameraRunning": "calculando",
  "status.cameraFew": "{count} de al menos {least} fotos de la hoja",
  "status.cameraMore": "objetivo a partir de {count} {count|foto|fotos} de la hoja; se piden más",
  "status.cameraSheet": "objetivo a partir de {count} {count|foto|fotos} de la hoja",
  "status.noPhotos": "aún no hay fotos",
  "status.reshoot": "falta fotografiar el soporte movido",
  "status.stepStands": "paso {number} de {count} bien colocado",
  "status.photosOpen": "faltan por examinar {open} de {count}",
  "status.photosDone": "{count} {count|foto examinada|fotos examinadas}",
  "status.photosMore": "{count} {count|foto|fotos}: aún no se puede demostrar todo",
  "status.photosFew": "{useful} de al menos {least} fotos",
  "status.photosFewUseful": "{useful} de al menos {least} fotos, {useless} sin utilidad",
  "status.photosSome": "{count} {count|foto examinada|fotos examinadas}, {useless} sin utilidad",
  "status.noSheet": "sin hoja de colocación",
  "status.noResult": "sin resultado: vea por qué",
  "status.notMeasured": "aún sin medir",
  "status.closed": "cerrado, revisión {number}",
  "status.changedSince": "cambiado desde que se cerró la revisión {number}",

  "outcome.allMeet": "Todo cumple",
  "outcome.someMiss": "Aún no cumple",
  "outcome.notProven": "Aún no probado",
  "outcome.heldBack": "Los números están dentro, pero esto habla en contra:",
  "outcome.doubts": "Esto habla en contra de los números:",
  "outcome.open": "sin medir",
  "outcome.again": "hay que medirlo de nuevo",

  "verdict.meets": "cumple",
  "verdict.misses": "no cumple",
  "verdict.notProven": "no probado",

  "trouble.otherTab": "Este trabajo está abierto en otra pestaña.",
  "trouble.otherTabExplain": "Aquí solo puede mirar, para que no se sobrescriba nada.",
  "trouble.takeOver": "Seguir en esta pestaña",
  "trouble.changed":
    "Otra pestaña ha cambiado este trabajo. El último cambio de aquí aún no está guardado.",
  "trouble.changedExplain":
    "Elija cuál de los dos se conserva. Las fotos de ambos se conservan en todo caso.",
  "trouble.takeTheirs": "Conservar lo que guardó la otra pestaña",
  "trouble.keepMine": "Conservar lo que se ve aquí",
  "trouble.full": "En este dispositivo no queda sitio para fotos.",
  "trouble.fullExplain":
    "No se ha perdido nada de lo guardado. Guarde trabajos antiguos como archivos, bórrelos aquí y pruebe otra vez.",
  "trouble.notSaved": "Este dispositivo no quiso guardar el último cambio.",
  "trouble.notSavedExplain":
    "Sigue en esta pantalla. Inténtelo otra vez; si no funciona, guarde el trabajo como archivo antes de cerrar la página.",
  "trouble.missedPhotos": "La página se cerró antes de guardar estas fotos: {names}",
  "trouble.missedCamera":
    "La página se cerró mientras estaba abierta la cámara o la lista de archivos.",
  "trouble.missedExplain": "Hágalas o elíjalas otra vez. Todo lo demás de este trabajo está aquí.",
  "trouble.missedCameraExplain":
    "Una foto hecha entonces no está en este trabajo: repítala o elíjala entre las imágenes del teléfono. Todo lo demás de este trabajo está aquí.",

  "failure.job": "No se guardaron los datos del trabajo {called}",
  "failure.photo": "No se guardó la foto {called}",
  "failure.findings": "No se guardó lo que se encontró en {called}. Se buscará otra vez.",
  "failure.result": "No se guardó el resultado {called}. Se puede medir otra vez.",
  "failure.camera": "No se guardó lo que dio la etapa de cámara. Se puede calcular otra vez.",
  "failure.settings": "No se guardaron los ajustes",
  "failure.profile": "No se guardó el perfil de cámara",
  "failure.sheet": "No se guardó la hoja de colocación",
  "failure.target": "No se guardó el blanco {called}",
  "failure.revision": "No se guardó el registro cerrado {called}",
  "failure.key": "No se hizo: la clave de este dispositivo para firmar",
  "failure.backup": "No se incorporó: la copia de seguridad",
  "failure.attachment": "No se guardó el archivo adjunto {called}",
  "failure.deletion": "No se borró",
  "failure.screen":
    "Esta etapa no se puede mostrar. Sus datos están guardados tal como están; las demás etapas se pueden usar.",
  "failure.other": "Algo falló en este programa. Lo que se guardó antes sigue ahí.",
  "failure.language": "No se pudo cargar el idioma elegido; se muestra el inglés.",
  "failure.reason": "El navegador dice: {reason}",
  "trouble.engine": "La parte que mide no ha podido funcionar.",
  "trouble.engineExplain":
    "Su código no se pudo cargar o se detuvo. Compruebe la red si es el primer uso; se conservan todas las fotos y lo encontrado.",

  "work.loading": "Cargando el código de visión: {percent} %",
  "work.starting": "Arrancando el código de visión",
  "work.photos": "Examinando fotos: {done} de {count}",
  "work.camera": "Calculando el objetivo",
  "work.adjustment": "Midiendo: todo en un solo ajuste",
  "work.stop": "Parar",
  "work.paused": "Parado. {open|Falta|Faltan} por examinar {open} {open|foto|fotos}.",
  "work.resume": "Seguir",

  "update.ready": "Hay una versión más nueva. Se usará la próxima vez que se abra la aplicación.",
  "update.use": "Usarla ahora",

  "offline.unsupported":
    "Desde aquí no se puede usar sin el equipo que lo sirve: hace falta https con un certificado en que confíe este dispositivo.",
  "offline.starting": "Preparando el uso sin conexión.",
  "offline.shell": "Funciona sin conexión; aún se está guardando el código de visión.",
  "offline.all": "Funciona sin conexión, con código de visión e impresos.",

  "storage.used": "{used} MB usados de unos {quota} MB que permite este navegador.",
  "storage.low": "A este dispositivo solo le quedan {left} MB para fotos.",
  "storage.persisted": "El navegador ha prometido no borrar los trabajos por su cuenta.",
  "storage.notPersisted":
    "El navegador puede borrar los trabajos si falta sitio o tras una semana sin uso.",
  "storage.ask": "Pedir al navegador que los conserve",
  "storage.refused":
    "El navegador no lo prometió. Instale la aplicación en la pantalla de inicio y guarde los trabajos como archivos.",
};
