import type { keepingTexts as english } from "../en/keeping.ts";
import type { Same } from "../en/same.ts";

export const keepingTexts: Same<typeof english> = {
  "leaving.title": "Fotos que contiene",
  "leaving.covered": "Copias tapadas",
  "leaving.boards only": "Solo las placas",
  "leaving.none": "Sin fotos",
  "leaving.originals": "Originales, para probar",
  "leaving.hint.covered":
    "Copias pequeñas sin datos de la cámara. Las caras que este dispositivo encuentra, y lo que usted tape con el pincel, quedan tapadas para siempre.",
  "leaving.hint.boards only": "Copias pequeñas en las que todo menos las placas es blanco.",
  "leaving.hint.none": "Números, datos y los resúmenes de las fotos, sin ninguna imagen.",
  "leaving.hint.originals":
    "Solo con los originales puede otra persona comprobar las fotos y volver a medirlas. Muestran caras, matrículas y todo lo de alrededor, y llevan lo que el teléfono escribió en ellas: hora, teléfono y, si lo anotó, el lugar. Entréguelos solo a una aseguradora, un perito o un juzgado.",
  "leaving.unseen": "Nadie ha mirado hasta ahora {count} de estas fotos.",
  "leaving.look": "Mirar las fotos",
  "leaving.close": "No hacerlo",
  "handOver.makePdf": "Hacer el PDF",
  "handOver.makeArchive": "Hacer el archivo",
  "paper.photoHeld": "no se imprime: nadie la ha mirado por si hay caras",
  "record.printPhotos":
    "Las fotos se imprimen con lo que se tapó en ellas; las que nadie ha mirado se dejan fuera (Copias de fotos para otras personas).",
  "share.askTitle": "¿Compartir el archivo del trabajo con todas las fotos?",
  "share.ask":
    "Contiene las fotos como se tomaron: caras, matrículas y, si el teléfono lo anotó, el lugar. Es para otro teléfono u ordenador de su taller. Para un cliente haga el PDF, o copias de las fotos.",
  "share.go": "Compartir con todas las fotos",
  "backup.withheld":
    "contiene un registro sin sus fotos; se puede verificar y leer, no abrir como trabajo",

  "sign.title": "Firma",
  "sign.explain":
    "Con una clave de este dispositivo, cada registro se firma al cerrarlo. La clave se hace aquí y no puede salir del navegador, tampoco en una copia de seguridad.",
  "sign.proves":
    "Una firma prueba que quien tiene este dispositivo cerró exactamente este registro, ante quien conozca la clave pública del dispositivo. No prueba quién fue: la clave no lleva ningún nombre que alguien haya comprobado. Entregue la clave pública a sus clientes o a la aseguradora antes de que haga falta, y compare la huella por teléfono.",
  "sign.none": "Este dispositivo no tiene clave; los registros se cierran sin firma.",
  "sign.make": "Hacer una clave",
  "sign.has": "Clave hecha el {when}. Huella: {fingerprint}",
  "sign.export": "Guardar la clave pública",
  "sign.delete": "Borrar la clave",
  "sign.deleteAsk": "¿Borrar la clave de este dispositivo?",
  "sign.deleteExplain":
    "Lo firmado sigue firmado y se puede verificar con la clave pública. Con esta clave no se podrá firmar nada más, nunca; una nueva tiene otra huella.",
  "sign.insecure":
    "Para firmar, la página debe abrirse por https o en el propio dispositivo: de otro modo el navegador no hace claves.",
  "sign.failed": "No se hizo la clave: {reason}",
  "sign.signed": "firmado, clave {fingerprint}",
  "sign.unsigned": "sin firma",
  "sign.now": "Firmar",
  "sign.notSigned": "Se cerró, pero no se firmó: {reason}",
  "verify.key": "Comprobar con una clave pública",
  "verify.keyWrong": "{name} no es una clave pública de Plumbshot.",
  "verify.keyUsed": "Cada revisión debe estar firmada por {owner}, clave {fingerprint}.",
  "verify.anyKey": "Cualquier clave o ninguna",
  "verify.ownKey": "La clave {fingerprint} es la de este dispositivo.",

  "guide.open": "Guía de campo",

  "keep.title": "Copia de seguridad de todo",
  "keep.explain":
    "Un archivo con todos los trabajos, fotos, registros cerrados, hojas, blancos, perfiles y ajustes de este dispositivo. Guárdelo en otro dispositivo; contiene datos de clientes.",
  "keep.make": "Guardar copia de todo",
  "keep.making": "Escribiendo la copia de seguridad",
  "keep.made":
    "Guardado: {jobs} {jobs|trabajo|trabajos}, {photos} {photos|foto|fotos}, {records} {records|registro cerrado|registros cerrados}.",
  "keep.missing": "Este dispositivo ya no pudo leer: {names}",
  "keep.last": "Última copia de seguridad: {when}.",
  "keep.never": "Hasta ahora no hay copia de seguridad.",
  "keep.due":
    "{count} {count|registro cerrado está|registros cerrados están} solo en este dispositivo, el más antiguo desde hace {days} {days|día|días}.",
  "keep.dueWhy":
    "Si se pierde el teléfono, se pierde la prueba. Además, algunos teléfonos borran lo que guarda una página tras una semana sin uso.",
  "keep.go": "Guardar copia",
  "keep.failed": "No hay copia de seguridad: {reason}",
  "keep.restore": "Restaurar una copia",
  "keep.reading": "Comprobando cada byte de la copia",
  "keep.restoreAsk": "¿Incorporar esta copia del {when}?",
  "keep.restoreAdds": "Nuevos aquí: {count} {count|trabajo|trabajos}.",
  "keep.restoreReplaces": "Se sustituyen por los de la copia, que son más nuevos: {names}",
  "keep.restoreKeeps": "Se quedan como están aquí, porque aquí son más nuevos: {names}",
  "keep.restoreDeleted": "Se dejan fuera, porque aquí se borraron para siempre: {names}",
  "keep.restoreRecords":
    "Registros cerrados que aún no están aquí: {count}. Ninguno de los que están aquí cambia.",
  "keep.restoreSettings":
    "Los ajustes, hojas, blancos y perfiles del mismo nombre se toman de la copia.",
  "keep.restoreAction": "Incorporarla",
  "keep.restored": "Se incorporó todo.",
  "keep.refused": "{name} no se incorporó, no se cambió nada: {reason}.",
  "keep.problem.no zip": "no es un archivo zip",
  "keep.problem.damaged": "está dañado o termina antes de tiempo ({detail})",
  "keep.problem.too large": "al abrirlo ocupa más que cualquier copia",
  "keep.problem.no backup":
    "no es una copia de todo; un solo trabajo se abre en la lista de trabajos",
  "keep.problem.newer version": "lo escribió una versión más nueva ({detail})",
  "keep.problem.not readable": "una parte no se puede leer ({detail})",
  "keep.problem.file differs": "una parte no está como se guardó ({detail})",
  "keep.problem.job open": "hay un trabajo abierto en otra pestaña; ciérrelo antes",
  "keep.moveTitle": "Pasar a otro teléfono",
  "keep.moveExplain":
    "Guarde aquí una copia de todo, abra el archivo en el otro teléfono (Ajustes, Restaurar una copia), mire si están todos los trabajos, y solo entonces borre todo aquí. La clave para firmar se queda: haga una nueva en el otro teléfono y conserve la clave pública antigua para lo que firmó.",
  "keep.wipe": "Borrar todo en este dispositivo",
  "keep.wipeAsk": "¿Borrar todo para siempre?",
  "keep.wipeExplain":
    "Todos los trabajos, fotos y registros cerrados de este dispositivo, su clave y sus ajustes. Nadie puede recuperarlos.",
  "keep.wipeUnsaved":
    "{count} {count|registro cerrado no está|registros cerrados no están} en ninguna copia y se {count|perdería|perderían}.",
  "keep.wipeAction": "Borrar todo",
};
