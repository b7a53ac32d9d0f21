import type { boardsTexts as english } from "../en/boards.ts";
import type { Same } from "../same.ts";

export const boardsTexts: Same<typeof english> = {
  "boards.print": "Imprimir el juego",
  "boards.printExplain":
    "Imprima al 100 % (tamaño real) en papel mate y pegue cada placa a algo plano y rígido.",
  "boards.paper": "Papel",
  "boards.openKit": "Abrir el juego (PDF)",
  "boards.openLarge": "Abrir placas grandes (PDF)",
  "boards.roles": "Números y funciones de las placas",
  "boards.check": "Comprobar la impresión",
  "boards.checkExplain":
    "Cada página lleva dos barras: {across} a lo ancho y {up} a lo alto. Ponga encima una regla de acero y anote lo que dice. Una impresión medio por ciento pequeña desplaza 20 mm una distancia de 4 m.",
  "boards.across": "Barra a lo ancho, {length}",
  "boards.up": "Barra a lo alto, {length}",
  "boards.readingSd": "Con qué exactitud se leyó la regla",
  "boards.readingSdHint": "Desviación típica de una lectura.",
  "boards.readAgain": "Borrar las dos lecturas",
  "boards.unchecked":
    "Sin comprobar: las distancias tienen una incertidumbre de cerca del 1 % hasta que se midan las barras o se dé una longitud larga.",
  "boards.scaleIs": "Impreso al {percent} del diseño: una celda mide {cell}.",
  "boards.sureAt4m": "Solo con esto, 4 m son seguros dentro de ± {mm} (95 %).",
  "boards.lengths": "Longitudes medidas",
  "boards.lengthsExplain":
    "Al menos una longitud larga, de centro a centro de dos placas, con láser o cinta. Da la escala junto con la comprobación de la impresión.",
  "boards.length": "Longitud {number}",
  "boards.from": "De la placa",
  "boards.to": "A la placa",
  "boards.lengthIs": "Longitud",
  "boards.lengthSd": "Desviación típica",
  "boards.lengthNote": "Medido con",
  "boards.addLength": "Añadir una longitud",
  "boards.removeLength": "Quitar esta longitud",
  "boards.noSuchBoard": "No hay ninguna placa con ese número.",
  "boards.sameBoard": "Los dos extremos son la misma placa.",
  "boards.absurdLength": "Entre 50 mm y 30 m. ¿Qué unidad era?",
  "boards.statements": "Ruedas, suelo, blanco",
  "boards.statementsExplain":
    "Rellenado con valores comunes para el juego impreso. Diga aquí lo que su taller sabe mejor.",

  "role.wheel": "Placa de rueda",
  "role.wheelPlace": "en las cuatro ruedas, como dice la impresión",
  "role.floor": "Punto de suelo",
  "role.floorPlace": "plana en el suelo, entre coche y blanco",
  "role.stand": "Soporte y blanco",
  "role.standPlace": "fija al soporte del blanco",
  "role.pointer": "Puntero",
  "role.pointerPlace": "puesta sobre un punto para una foto",
  "role.bar": "Barra de longitud",
  "role.barPlace": "en los extremos de una barra de longitud conocida",
  "role.sheet": "hoja de cámara",

  "wheel.FL": "delantera izquierda",
  "wheel.FR": "delantera derecha",
  "wheel.RL": "trasera izquierda",
  "wheel.RR": "trasera derecha",

  "targets.title": "Biblioteca de blancos",
  "targets.explain":
    "Un blanco se enseña una vez: dónde está respecto a las placas de su soporte. Guárdelo aquí y úselo en cada trabajo.",
  "targets.none": "En este dispositivo aún no hay ningún blanco.",
  "targets.use": "Usar «{name}» en este trabajo",
  "targets.exact": "enseñado dentro de {mm}",
  "targets.forget": "Olvidar blanco",
  "targets.keep": "Guardar «{name}» en la biblioteca",
  "targets.keepNow": "Guardarlo",
  "targets.storedAt": "Dónde se guarda en el taller",
  "targets.open": "Abrir un archivo de biblioteca",
  "targets.save": "Guardar la biblioteca como archivo",
  "targets.unreadable": "{name} no es una biblioteca de blancos de esta herramienta.",
};
