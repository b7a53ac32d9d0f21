import type { jobsTexts as english } from "../en/jobs.ts";
import type { Same } from "../en/same.ts";

export const jobsTexts: Same<typeof english> = {
  "jobs.title": "Trabajos",
  "jobs.welcome": "Ponga el blanco en su sitio y demuéstrelo",
  "jobs.new": "Trabajo nuevo",
  "jobs.demo": "Probar el ejemplo",
  "jobs.search": "Buscar por coche, matrícula, cliente o fecha",
  "jobs.noneFound": "Ningún trabajo encaja con «{search}».",
  "jobs.untitled": "Trabajo sin nombre",
  "jobs.invented": "inventado",
  "jobs.inventedLong": "Coche, puesto y números inventados. No los use nunca en un coche.",
  "jobs.delete": "Borrar trabajo",
  "jobs.deleteAsk": "¿Borrar «{title}» de este dispositivo?",
  "jobs.deleteExplain":
    "También se borran sus fotos y su resultado. Un archivo de trabajo guardado no se toca.",
  "jobs.unreadable": "Un trabajo guardado no se puede leer: {reason}. Se conserva tal como está.",

  "demo.copying": "Copiando las fotos de ejemplo a este dispositivo",
  "demo.failed":
    "No se pueden cargar las fotos de ejemplo ({reason}). La primera vez necesitan la red.",

  "teach.lead":
    "Con este teléfono y papel impreso encontrará las líneas propias del coche y verá dónde está el blanco respecto a ellas: como distancia y giro, con un error honrado.",
  "teach.print": "Imprima las placas",
  "teach.printText":
    "Al 100 %, en papel mate, pegadas a algo plano. Mida una vez las barras impresas.",
  "teach.lay": "Repártalas",
  "teach.layText": "Cuatro en las ruedas, seis o más en el suelo, dos en el soporte del blanco.",
  "teach.shoot": "Haga una docena de fotos",
  "teach.shootText":
    "Desde todos los lados, con tres placas o más en cada una. El teléfono hace el resto, sin conexión.",
  "teach.read": "Lea el veredicto y el movimiento",
  "teach.readText":
    "«{amount} a la izquierda, girar 0,7° a la derecha.» Mueva, fotografíe otra vez el soporte y listo.",
  "teach.sketch": "Croquis desde arriba: un coche, placas en ruedas y suelo, un blanco delante",
  "teach.caution":
    "El procedimiento del fabricante del vehículo y la ley del lugar van antes que esta herramienta. Un sensor está calibrado solo cuando el propio procedimiento lo dice.",

  "job.missing": "Este trabajo no está en este dispositivo",
  "job.missingHelp":
    "Puede que se haya borrado o que esté en otro dispositivo. Si se guardó como archivo, ábralo en la página de trabajos.",
  "job.unreadable": "Este trabajo no se puede leer: {reason}",
  "job.unreadableHelp":
    "Se conserva tal como está. Si lo escribió una versión más nueva de esta herramienta, use esa versión; si no, abra un archivo guardado de este trabajo.",
  "job.overview": "Resumen",
  "job.stages": "Etapas del trabajo",

  "block.car": "Coche",
  "block.reason": "Motivo",
  "block.opened": "Abierto",
  "block.technician": "Técnico",

  "backup.save": "Guardar el trabajo como archivo",
  "backup.saving": "Guardando",
  "backup.open": "Abrir un archivo de trabajo",
  "backup.failed": "No se pudo guardar el trabajo como archivo. {reason}",
  "backup.unreadable": "{name} no se puede abrir: {reason}.",
  "backup.leftOut":
    "No se abrió, porque no es una foto ni un resultado de esta herramienta: {names}",
  "backup.missing": "No va en el archivo, porque ya no está en este dispositivo: {names}",
  "backup.noZip": "no es un archivo zip",
  "backup.cutOff": "le falta el final: se cortó al copiarlo o enviarlo; consígalo otra vez",
  "backup.damaged": "está dañado o termina antes de tiempo",
  "backup.tooLarge": "al abrirlo ocupa más que cualquier trabajo",
  "backup.photoDiffers": "una foto no es la que se guardó",
  "backup.noJob": "no contiene ningún trabajo",
  "backup.newerVersion": "lo escribió una versión más nueva",
  "backup.notReadable": "está dañado o es de otro tipo",
  "backup.due": "{count} {count|trabajo está|trabajos están} solo en este dispositivo.",
  "backup.why":
    "Algunos teléfonos borran lo que guarda una página tras una semana sin uso. Un trabajo guardado como archivo está a salvo.",

  "settings.title": "Ajustes",
  "settings.display": "Idioma y unidades",
  "settings.language": "Idioma",
  "settings.auto": "Como el dispositivo",
  "settings.theme": "Papel",
  "settings.light": "claro",
  "settings.dark": "oscuro",
  "settings.length": "Longitudes",
  "settings.inch": "pulgadas, decimal",
  "settings.inch16": "pulgadas, 1/16",
  "settings.lengthHint":
    "Los archivos llevan siempre milímetros. Al escribir valen la coma y el punto. Los dieciseisavos son para lo que se ajusta a mano; lo medido conserva sus decimales.",
  "settings.angle": "Ángulos",
  "settings.degrees": "grados",
  "settings.mmPerM": "mm por metro",
  "settings.shop": "Para trabajos nuevos",
  "settings.offline": "Sin conexión y almacenamiento",
  "settings.about": "Acerca de",
  "settings.aboutText":
    "Todo se mide en este dispositivo. No se envía nada a ninguna parte y la herramienta no habla con el vehículo.",
  "settings.caution":
    "Mandan el procedimiento del fabricante y las normas locales. Solo personas formadas. Ruedas calzadas, nunca debajo de un coche sujeto solo por un gato; cuidado con los gases de escape y los láseres. En la duda, mida otra vez de otra manera.",
  "settings.licences":
    "Apache-2.0. Letra Atkinson Hyperlegible Next, SIL Open Font License 1.1. Código de visión OpenCV, Apache-2.0. Fotos HEIC: libheif y libde265, LGPL-3.0, un archivo aparte que se puede sustituir.",
};
