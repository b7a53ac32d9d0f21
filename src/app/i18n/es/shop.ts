import type { Same } from "../en/same.ts";
import type { shopTexts as english } from "../en/shop.ts";

export const shopTexts: Same<typeof english> = {
  "plates.title": "Placas de rueda",
  "plates.explain":
    "¿Cuánto sobresale la cara impresa del plano exterior de la rueda? Se mide una vez por juego.",
  "plates.heard":
    "Corte por una rueda: la placa va sujeta a ella y la cara impresa sobresale la distancia pedida.",
  "plates.wheel": "rueda",
  "plates.wheelPlane": "plano exterior de la llanta",
  "plates.printedFace": "cara impresa",
  "plates.hubLine": "centro de rueda",
  "plates.sets": "Placas de rueda de este taller",
  "plates.offset": "Distancia de la cara impresa",
  "plates.offsetHint": "Del plano exterior de la llanta al papel. Por ejemplo 60.",
  "plates.offsetHow": "Cómo se midió la distancia",
  "plates.centringHow": "Cómo se centra la placa",
  "plates.keep": "Guardar estas placas de rueda como juego del taller",
  "plates.setName": "Nombre del juego",
  "plates.setNameHint":
    "Por ejemplo: placas de acero. Una prueba de aceptación vale para las placas de rueda que nombra.",
  "status.noPlates": "falta la distancia de las placas de rueda",

  "way.laser meter": "medidor láser",
  "way.tape held by two": "cinta entre dos",
  "way.tape alone": "cinta, a solas",
  "way.steel rule": "regla de acero",
  "way.folding rule": "metro plegable",
  "way.depth gauge": "calibre de profundidad",
  "way.estimated": "estimado",
  "way.clamped and centred": "sujeto y centrado en el buje",
  "way.set by eye": "a ojo",
  "way.on a fine mark": "en una marca fina",
  "way.on a corner": "en una esquina o un borde",
  "way.by eye alone": "a ojo, sin marca",
  "sure.within": "Seguro con ± {amount} (95 de 100; práctica común, sin fuente).",
  "sure.unknown": "Aún sin indicar.",
  "sure.figure": "Cambiar la cifra",
  "sure.own": "Seguro con ±",
  "sure.ownHint": "95 de cada 100 lecturas quedan dentro.",
  "boards.lengthHow": "Cómo se midió",
  "boards.chooseBoard": "elegir",

  "prints.firstSet": "Primera impresión",
  "prints.allOthers": "Todas las placas que no nombra otra impresión.",
  "prints.set": "Impresión {number}",
  "prints.explain":
    "Las placas de otra impresora, otro papel u otro día tienen su propio tamaño: son otra impresión, con sus propias dos barras.",
  "prints.add": "Algunas placas son de otra impresión",
  "prints.remove": "Quitar esta impresión",
  "prints.which": "Placas de esta impresión",
  "prints.noBoards":
    "Diga qué placas se imprimieron juntas. Hasta entonces esta impresión no cuenta.",
  "prints.chosen": "{count} {count|placa|placas}: {boards}",
  "prints.single": "Placas sueltas",
  "prints.ofShop": "Impresiones de este taller",
  "prints.name": "Poner nombre a esta impresión y guardarla",
  "prints.nameField": "Nombre de la impresión",
  "prints.nameHint": "Por ejemplo: impresora de la oficina, marzo.",
  "prints.keep": "Guardarla para los próximos trabajos",
  "prints.kept": "Guardada",

  "taken.from": "Tomado del último trabajo ({when}).",
  "taken.giveBack": "No es lo mismo: anotar de nuevo",
};
