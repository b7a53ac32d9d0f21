import type { photosTexts as english } from "../en/photos.ts";
import type { Same } from "../en/same.ts";

export const photosTexts: Same<typeof english> = {
  "photos.add": "Añadir fotos",
  "photos.howTo":
    "Camine alrededor del coche y del blanco. Tres placas o más en cada foto, cada placa en tres fotos o más, con vecinas que se solapen. El mismo teléfono y objetivo que con la hoja.",
  "photos.addAfter": "Añadir fotos después de la calibración",
  "photos.howToAfter":
    "Antes de tocar nada: fotografíe el soporte con las placas de suelo que lo rodean, y las ruedas, desde cuatro sitios o más. Así se calcula si algo se ha movido.",
  "photos.take": "Hacer una foto",
  "photos.choose": "Elegir fotos",
  "photos.drop": "O suelte archivos aquí.",
  "photos.adding": "Guardando {count} {count|foto|fotos}",
  "photos.where": "Antes o después, posición del coche",
  "photos.epoch": "Estas fotos se hacen",
  "photos.before": "antes de la calibración",
  "photos.after": "después de la calibración",
  "photos.epochHint": "Las fotos de después demuestran que nada se ha movido.",
  "photos.position": "Posición del coche",
  "photos.positionNumber": "Posición {number}",
  "photos.positionHint":
    "Una segunda posición (coche rodado media vuelta de rueda) elimina el error propio de las placas de rueda. Si no se puede rodar, monte las placas de rueda por segunda vez: eso quita un tercio.",
  "photos.groupBefore": "Antes de la calibración, posición {number}",
  "photos.groupAfter": "Después de la calibración, posición {number}",
  "photos.removed": "{count} {count|foto apartada|fotos apartadas}.",
  "photos.setupNote":
    "El soporte se movió: {count} {count|foto lo muestra|fotos lo muestran} donde está ahora.",
  "photos.positionKind": "Entre las posiciones",
  "photos.rolled": "el coche rodó",
  "photos.turned": "se giraron las ruedas",
  "photos.refitted": "se quitaron y se montaron de nuevo las placas de rueda",

  "plan.title": "Qué fotos hacer",
  "plan.noSheet":
    "Introduzca primero la ficha de colocación: de ella se deduce qué fotos la demuestran.",
  "plan.working": "Calculando qué fotos ayudan más …",
  "plan.failed": "No se pudo calcular el plan",
  "plan.failedRemedy":
    "Las fotos y lo introducido están a salvo, y las fotos cuentan sin plan. Inténtelo de nuevo, o fotografíe desde todos los lados: cada placa en dos fotos o más, desde lugares separados.",
  "plan.lacks": "Antes de planificar las fotos:",
  "plan.rough":
    "{count} {count|foto demuestra|fotos demuestran} lo que pide la ficha, si el puesto es más o menos así. Tras las primeras fotos, el plan sigue lo que muestran.",
  "plan.next": "Siguiente foto",
  "plan.brings": "Lleva «{check}» de ± {from} a ± {to}.",
  "plan.drawing":
    "Puesto visto desde arriba con {count} {count|lugar numerado|lugares numerados} para fotografiar",
  "plan.seenNot": "Placas aún no vistas",
  "plan.seenOnce": "Vistas una vez",
  "plan.seenOften": "Vistas lo suficiente",
  "plan.check": "Comprobación (95 %)",
  "plan.asked": "Se pide",
  "plan.now": "Ahora",
  "plan.planned": "Con estas fotos",
  "plan.outOfReach": "Ninguna foto lo alcanza: mire de qué se compone la incertidumbre.",
  "plan.floorBoards": "Dónde poner las placas de suelo",

  "photo.working": "examinando",
  "photo.waiting": "en espera",
  "photo.unusable": "no se puede usar",
  "photo.boards": "{count} {count|placa|placas}",
  "photo.by": "de {phone}",
  "photo.otherPhone": "otro teléfono",
  "photo.thisPhone": "este teléfono",
  "photo.sheetFound": "hoja encontrada",
  "photo.noSheet": "sin hoja",
  "photo.remove": "Quitar foto",
  "photo.all": "Todas las fotos",
  "photo.previous": "Foto anterior",
  "photo.following": "Foto siguiente",
  "photo.found": "{count} {count|placa encontrada|placas encontradas}",
  "photo.nothingHelp":
    "No se encontró ninguna placa. Acérquese, no se mueva y deje placas enteras con su margen blanco en la imagen.",
  "photo.showPoints": "Mostrar puntos",
  "photo.drawingHeard": "Foto con {count} {count|placa marcada|placas marcadas}",
  "photo.board": "Placa",
  "photo.grade": "Uso",
  "photo.cell": "Celda",
  "photo.slant": "Ángulo",
  "photo.residual": "Residuo",

  "grade.good": "buena",
  "grade.weak": "débil",
  "grade.notUsed": "no usada",

  "refused.video": "{name} es un vídeo. Haga fotos sueltas.",
  "refused.notImage":
    "{name} no es una foto que esta herramienta pueda leer. Lo mejor son fotos JPEG tal como salen de la cámara.",
  "refused.notReadable":
    "{name} no se puede leer: el dispositivo da su nombre, pero no su contenido. Cópielo otra vez.",
  "refused.notStored": "{name} no se guardó. Añádalo otra vez.",
  "refused.empty": "{name} está vacío. Cópielo otra vez.",
  "refused.twice": "{name} ya está en este trabajo; no se ha añadido otra vez.",
};
