import type { Same } from "../en/same.ts";
import type { storeTexts as english } from "../en/store.ts";

export const storeTexts: Same<typeof english> = {
  "fault.unreachable":
    "El almacén {address} no responde ({reason}). Compruebe la red y la dirección. El navegador dice lo mismo de un certificado en el que no confía y de un almacén que no admite la dirección de esta aplicación (CORS).",
  "fault.certificate":
    "El certificado de {address} no es de confianza ({reason}). Pregunte a quien lleva el almacén; no se envió nada.",
  "fault.refused": "El almacén {address} no acepta el usuario o la contraseña.",
  "fault.read-only":
    "El almacén {address} se puede leer, pero no escribir. Pida permiso de escritura.",
  "fault.full":
    "El almacén {address} está lleno. No se pierde nada: lo que espera queda en este dispositivo. Haga sitio allí y siga.",
  "fault.not-there": "No existe esa carpeta en {address}. Compruebe la dirección.",
  "fault.no-store":
    "Lo que responde en {address} no es un almacén WebDAV ni S3 (respuesta {status}).",
  "fault.busy":
    "El almacén {address} está ocupado o tiene un fallo propio (respuesta {status}). Lo que espera se conserva; inténtelo más tarde.",
  "fault.clock":
    "El almacén {address} se niega porque el reloj de este dispositivo está mal. Ponga en hora el dispositivo.",
  "fault.insecure":
    "S3 necesita una aplicación abierta por https, porque solo así firma el navegador. Use WebDAV, o npm start -- --https.",
  "fault.key-wrong":
    "La clave o la frase no es la del almacén de este taller. No se leyó ni se escribió nada.",
  "fault.key-changed":
    "La clave del taller ha cambiado. Añada otra vez este dispositivo con un código nuevo. Lo que espera queda en este dispositivo.",
  "fault.phrase-unused": "La clave actual del taller es un archivo de clave: una frase no la abre.",
  "fault.damaged": "{name} está dañado en el almacén. No se tomó, y aquí no se sustituyó nada.",
  "fault.foreign":
    "{name} en el almacén no es lo que dice su nombre. No se tomó, y aquí no se sustituyó nada.",
  "fault.gap":
    "El almacén no muestra el índice {number} del dispositivo {device}, aunque tiene que existir: alguien lo quitó, o el almacén muestra un estado antiguo.",
  "fault.device-clock":
    "El reloj de este dispositivo difiere {minutes} minutos del reloj del almacén. Las horas de los registros salen de este dispositivo: póngalo en hora.",
  "fault.missing": "Un índice nombra {name}, pero no está en el almacén.",
  "fault.newer-program":
    "{name} es de una versión más nueva del programa. Actualice este dispositivo para leerlo.",

  "store.title": "Taller",
  "store.lead":
    "Varios teléfonos y furgonetas de un taller comparten registros cerrados, fotos, objetivos, lentes, placas, impresiones y hojas por un almacén propio: almacenamiento en red (WebDAV) o S3. Todo se sella en este teléfono antes de salir; el almacén solo ve nombres y tamaños.",
  "store.none": "Sin almacén todo queda en este teléfono, como hasta ahora.",

  "store.join": "Entrar con un código",
  "store.joinText":
    "En un teléfono que ya tiene el almacén: Taller, Añadir un dispositivo. Fotografíe aquí su código, o pegue su texto.",
  "store.joinPaste":
    "En un teléfono que ya tiene el almacén: Taller, Añadir un dispositivo. Copie el texto de su código, hágalo llegar a este dispositivo por un camino que nadie más lea, y péguelo aquí.",
  "store.panel": "Almacén",
  "store.code": "Texto del código",
  "store.joinNow": "Entrar",
  "store.photograph": "Fotografiar el código",
  "store.noCode":
    "Esto no es un código del almacén de un taller. Cópielo entero, desde PLUMBSHOT: hasta el final.",
  "store.noCodeSeen":
    "En esta foto no se ve ningún código. Acérquese, no se mueva, o pegue el texto.",

  "store.setUp": "Preparar un almacén",
  "store.kind": "Tipo de almacén",
  "store.kindWebdav": "WebDAV",
  "store.kindS3": "S3",
  "store.address": "Dirección",
  "store.addressHint":
    "Por ejemplo https://storage.example/dav/shop/. La carpeta tiene que existir.",
  "store.addressHintS3": "El servicio sin el depósito, por ejemplo https://s3.example.",
  "store.user": "Usuario",
  "store.password": "Contraseña",
  "store.bucket": "Depósito (bucket)",
  "store.region": "Región",
  "store.accessKey": "Clave de acceso",
  "store.secretKey": "Clave secreta",
  "store.keyKind": "Clave del taller",
  "store.keyNew": "crear una nueva",
  "store.keyPhrase": "de una frase",
  "store.keyText": "ya tengo una",
  "store.keyHint":
    "La clave sella todo. Una nueva es para el primer dispositivo; una frase ha de tener 20 caracteres o más, por ejemplo cinco palabras que nadie adivine.",
  "store.phrase": "Frase",
  "store.keyEntry": "Clave (43 caracteres, o el texto de un archivo de clave)",
  "store.connect": "Conectar",
  "store.connecting": "Conectando. Una frase tarda hasta medio minuto.",
  "store.phraseShort": "La frase es demasiado corta: 20 caracteres o más.",
  "store.addressWrong": "La dirección tiene que empezar por https:// o http://.",
  "store.forbidden":
    "Esta aplicación no puede hablar con {origin}. Quien la sirve tiene que arrancarla con: npm start -- --store {origin}",
  "store.keepKey":
    "Conserve la clave: guárdela como archivo y deje una copia donde ningún incendio alcance las dos. Sin ella nadie abre lo almacenado.",
  "store.saveKey": "Guardar la clave como archivo",

  "store.now": "Replicar ahora",
  "store.itself":
    "También ocurre por sí solo al abrir la aplicación, al volver a mirarla o al tener red.",
  "store.at": "Almacén: {address}",
  "store.reading": "Leyendo lo nuevo",
  "store.storing": "Enviando {done} de {of}",
  "store.fetching": "Recibiendo {done} de {of}",
  "store.last": "Última vez {when}: {stored} enviados, {fetched} recibidos.",
  "store.never": "Aún no se ha replicado nada.",
  "store.held":
    "{count} {count|foto espera|fotos esperan} una red que no cobre por datos ({megabytes} MB).",
  "store.sendHeld": "Enviar también las fotos ahora",
  "store.photos": "Fotos",
  "store.photosAlways": "siempre",
  "store.photosNot": "no con datos móviles",
  "store.photosHint":
    "Primero van los registros, al final las fotos. No todos los navegadores dicen que usan datos móviles; si no lo dicen, las fotos se envían.",
  "store.records": "Registros cerrados de otros dispositivos",
  "store.recordsYes": "guardar también aquí",
  "store.recordsNo": "dejar en el almacén",

  "store.add": "Añadir un dispositivo",
  "store.addText":
    "El código contiene la dirección del almacén, su contraseña y la clave del taller. No lo muestre a nadie más, y no deje ninguna foto suya.",
  "store.showCode": "Mostrar el código",
  "store.hideCode": "Ocultar el código",
  "store.qr": "Código para fotografiar con el otro teléfono",

  "store.jobs": "Dos teléfonos en un trabajo",
  "store.jobsText":
    "Comparta un trabajo y deje que el otro teléfono fotografíe el código. Recibe el trabajo como está ahora; después las fotos van en los dos sentidos con cada replicación. Las entradas no: hágalas en un solo teléfono. Cada teléfono trae su propio objetivo: haga la etapa de cámara en cada uno o elija allí su perfil guardado. Las fotos cuyo objetivo no se conoce se dejan fuera, con su nombre.",
  "store.share": "Compartir «{title}»",
  "store.shared": "«{title}» está compartido.",
  "store.noJobs": "En este teléfono no hay trabajos.",

  "store.lost": "Se perdió un dispositivo",
  "store.lostText":
    "Cambie la clave: lo que se guarde desde ahora no se abre con la antigua, y los registros antiguos siguen legibles aquí. Después cambie la contraseña del almacén y añada otra vez los demás dispositivos. Lo que el dispositivo perdido podía leer, lo puede leer aún si llega al almacén.",
  "store.change": "Cambiar la clave",
  "store.changeAsk": "¿Cambiar la clave del taller?",
  "store.changed":
    "La clave ha cambiado. Añada otra vez los demás dispositivos y guarde la clave nueva.",

  "store.repair": "Comprobar el almacén",
  "store.repairText":
    "Mira si el almacén aún tiene, con su tamaño completo, todo lo de este teléfono que debe tener. Lo que falta o está cortado se escribe otra vez desde aquí. Leerlo todo encuentra también lo dañado, y gasta tantos datos como todo junto.",
  "store.repairNow": "Comprobar y reparar",
  "store.repairAll": "Leer todo y reparar",
  "store.repairing": "Mirando {done} de {of}",
  "store.repairSound":
    "{looked} {looked|objeto de este teléfono está|objetos de este teléfono están} en el almacén como debe ser.",
  "store.repaired":
    "Se {looked|miró|miraron} {looked} {looked|objeto|objetos} de este teléfono; {mended} {mended|faltaba o estaba dañado|faltaban o estaban dañados} en el almacén y se {mended|escribió|escribieron} otra vez.",
  "store.repairElsewhere":
    "{count} más no {count|está|están} en este teléfono: compruébelos desde el dispositivo que los tiene.",

  "store.remove": "Borrado en este teléfono, aún en el almacén",
  "store.removeText":
    "{count} {count|registro cerrado que este teléfono ya no tiene sigue|registros cerrados que este teléfono ya no tiene siguen} en el almacén, con fotos. Borrar para siempre llega a todos los dispositivos del taller y no se puede deshacer.",
  "store.removeNow": "Borrar para siempre en todos los dispositivos",

  "store.jobNotYet":
    "El trabajo compartido aún no está en el almacén. Deje abierta la aplicación en el teléfono que lo compartió; este vuelve a mirar cada pocos segundos.",
  "store.jobStop": "Dejar de mirar",

  "store.leave": "Desconectar este teléfono",
  "store.leaveAsk": "¿Desconectar este teléfono del almacén?",
  "store.leaveText":
    "Los trabajos y registros quedan en este teléfono, el almacén queda como está. Aquí se olvida la clave: guárdela antes si es el único dispositivo.",
};
