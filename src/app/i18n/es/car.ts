import type { carTexts as english } from "../en/car.ts";
import type { Same } from "../en/same.ts";

export const carTexts: Same<typeof english> = {
  "checks.commonPractice":
    "Práctica común, sin fuente. El procedimiento del fabricante va antes que esta lista.",
  "checks.note": "Nota",
  "checks.photo": "Foto",
  "checks.skip": "No procede",
  "checks.applies": "Sí procede",
  "checks.doesNotApply": "no procede",

  "check.procedure": "Leído el procedimiento de la variante correcta",
  "check.preScan": "Diagnosis previa hecha y guardada",
  "check.tyres": "Neumáticos de la misma medida, presiones ajustadas",
  "check.load": "Nada pesado en el coche ni en el techo, combustible según el procedimiento",
  "check.suspension": "Suspensión asentada rodando o balanceando; altura medida donde se pide",
  "check.steering": "Dirección recta",
  "check.alignment":
    "Alineación, sobre todo el ángulo de empuje, dentro de los límites del fabricante",
  "check.sensor": "Sensor, parabrisas y paragolpes limpios, sin daños, piezas correctas",
  "check.doors": "Puertas cerradas, nadie dentro del coche",
  "check.battery": "Apoyo de batería conectado, contacto según el procedimiento",
  "check.chocks": "Freno de estacionamiento como se indica, ruedas calzadas",
  "check.floor": "Suelo nivelado y plano donde están el coche y el blanco",
  "check.space": "Espacio libre delante y a los lados según el procedimiento",
  "check.metal": "Sin objetos metálicos delante de un radar",
  "check.pattern": "Sin espejos ni dibujos parecidos a placas detrás de un blanco de cámara",
  "check.light": "Luz uniforme, sin franja de sol, sin parpadeo",
  "check.stand": "Soporte frenado o sobre sus patas, nivelado, y nadie lo toca",
  "check.nothingMoved": "Fotografiado otra vez tras la calibración: nada se ha movido",
  "check.postScan": "Diagnosis final hecha y guardada",
  "check.roadTest": "Prueba en carretera donde el procedimiento la pide",
  "check.copy": "Copia del registro entregada al cliente",
  "check.sentence":
    "Medido {measured}, seguro dentro de ± {uncertainty} (95\u00a0%). Probabilidad de cumplir: {probability}.",
  "check.reference": "De dónde viene el número",

  "car.identity": "Qué coche",
  "car.title": "Nombre de este trabajo",
  "car.titleHint": "Como lo buscaría más tarde. Todos los campos pueden quedar vacíos.",
  "car.description": "Coche",
  "car.descriptionHint": "Marca, modelo, año, variante: con sus palabras.",
  "car.plate": "Matrícula",
  "car.vin": "Número de bastidor",
  "car.odometer": "Cuentakilómetros",
  "car.customer": "Cliente u orden",
  "car.wheelbase": "Batalla, si se conoce",
  "car.wheelbaseHint": "Sirve para comprobar la medición, no como dato de entrada.",
  "car.wheelbaseAbsurd": "Ningún coche tiene esa batalla. ¿Qué unidad era?",
  "car.wheelbaseDiffers":
    "La batalla medida es {measured} ± {uncertainty}: se aparta {difference} de la indicada.",
  "car.wheelbaseDiffersHelp":
    "Compruebe el tamaño de impresión, las longitudes medidas y que cada placa esté en la rueda que dice.",
  "car.wheelbaseAgrees":
    "Batalla medida {measured} ± {uncertainty}: coincide con una diferencia de {difference}.",
  "car.reason": "Por qué se hace el trabajo",
  "car.reasonLabel": "Motivo",
  "car.reasonChoose": "Elegir",
  "car.reasonNote": "Qué se ha hecho en el coche",
  "car.checks": "Comprobaciones previas",

  "reason.windscreen": "Parabrisas cambiado",
  "reason.bumper": "Paragolpes desmontado o reparado",
  "reason.sensor": "Sensor o soporte tocado",
  "reason.alignment": "Alineación o suspensión",
  "reason.collision": "Colisión",
  "reason.fault": "Avería registrada",
  "reason.software": "Software cambiado",
  "reason.other": "Otro",

  "bay.checks": "Comprobaciones del puesto",
  "bay.space": "Espacio",
  "bay.spaceNeeded":
    "La hoja de colocación necesita {ahead} por delante de la línea de origen, {left} a la izquierda y {right} a la derecha de la línea central del coche, con {walk} para pasar.",
  "bay.spaceUnknown": "Elija una hoja de colocación y aquí se calculará el espacio necesario.",
  "bay.light": "Luz",
  "bay.lightUnknown": "Se juzga por los datos de exposición de las fotos, cuando las haya.",
  "bay.lightFacts":
    "{count} {count|foto|fotos}: exposición más larga {time}, sensibilidad más alta ISO {iso}.",
  "bay.lightDark":
    "Demasiado oscuro para un teléfono en la mano: las fotos pueden salir movidas. Encienda más luz.",
  "bay.lightNoisy": "La cámara tuvo que amplificar mucho. Con más luz la medición es más segura.",
  "bay.lightGood": "Hay luz suficiente.",
  "bay.floor": "Suelo",
  "bay.floorUnknown": "Se mide con las placas de suelo junto con todo lo demás.",
  "bay.floorMeasured": "Las placas de suelo están en un plano dentro de lo indicado.",
  "bay.notes": "Notas",
  "bay.name": "Puesto",
  "bay.note": "Nota",
};
