import type { Role, WheelPlace } from "../kit.ts";
import type { KitWords } from "./kit-words.ts";

const wheels: Readonly<Record<WheelPlace, string>> = {
  FL: "delantera izquierda",
  FR: "delantera derecha",
  RL: "trasera izquierda",
  RR: "trasera derecha",
};

function role(which: Role): string {
  switch (which.kind) {
    case "wheel plate":
      return `Placa de rueda, ${wheels[which.wheel]}`;
    case "floor point":
      return `Punto de suelo ${which.number}`;
    case "stand":
      return `Soporte y blanco ${which.number}`;
    case "pointer":
      return `Puntero ${which.number}`;
    case "length bar":
      return `Barra de longitud ${which.bar}, extremo ${which.end}`;
  }
}

export const kitWordsEs: KitWords = {
  language: "es",
  title: "Kit de Plumbshot",
  subject: "Placas y hoja de cámara para imprimir al 100 %",
  safety:
    "Manda el procedimiento del fabricante. Esta hoja ayuda a medir; no certifica ninguna calibración.",
  upMark: "Arriba",
  cut: "cortar",
  cameraSheet: "Hoja de cámara",
  role,
  usage: {
    "wheel plate": "Centro de la placa en el centro de la rueda, mirando hacia fuera.",
    "floor point": "Plana en el suelo, cara arriba. El centro de la placa es el punto.",
    stand: "Fija al soporte o al blanco, sin poder moverse respecto a él.",
    pointer: "Cortar por la línea superior. El fin de la marca es la punta: ponerla en el punto.",
    "length bar": "Un extremo de una barra rígida. Su longitud va de centro a centro de placa.",
  },
  barAcross: (length) => `Barra horizontal: ${length} de marca a marca`,
  barUp: (length) => `Barra vertical: ${length} de marca a marca`,
  barUpToLower: (length) => `Barra vertical: ${length} hasta la marca inferior`,
  page: (paper, page, pages) => `Kit de Plumbshot ${paper}, página ${page} de ${pages}`,
  fullSize: "Imprimir al 100 %.",
  cell: (cellMm, ringMm) => `Celda ${cellMm} mm, anillo ${ringMm} x ${ringMm} mm, de borde a borde`,
  tag: (id) => `Etiqueta 36h11, id ${id}`,
  sheetWhat: (squareMm, markerMm, first, last) =>
    `Cuadro (celda) ${squareMm} mm, marca ${markerMm} mm, etiquetas 36h11, id ${first} a ${last}`,
  cover: {
    heading: "Placas para imprimir",
    print: "1  Imprimir",
    measure: "2  Medir lo impreso",
    glue: "3  Pegar en plano",
    where: "4  Qué va dónde",
    printWords:
      "Al 100 % (tamaño real), nunca ajustado a la página; una cara, en negro, en papel mate de " +
      "100 g/m² o más. Sin brillo ni plástico encima: los reflejos tapan el dibujo.",
    first: (pages) =>
      `Para empezar, imprima las páginas ${pages}; las demás, cuando hagan falta. Para enseñar un ` +
      "blanco, imprima también los punteros 41 a 43.",
    largeCells: (cellMm, usualMm) =>
      `Placas grandes: celda de ${cellMm} mm, no de ${usualMm} mm como en el kit en A4 y Letter. El ` +
      "trabajo debe indicar la celda de cada placa grande.",
    measureWords: (across, up) =>
      "Una vez por impresora y papel: ponga una regla de acero sobre una página y lea las dos barras, " +
      `del centro de una marca al de la otra. La horizontal mide ${across}. La vertical mide ` +
      `${up}: sus dos marcas están encima y debajo de la placa, la regla cruza el dibujo. Anote ` +
      "las dos lecturas. Una impresión con un error de 0,5 % sin advertir cambia 4 m en 20 mm.",
    glueWords: (marginMm) =>
      "Pegue cada página sin burbujas en algo rígido y plano: composite de aluminio, vidrio, tablero " +
      "grueso y liso. Un canto recto no debe dejar ver más de 0,5 mm. Deje el margen blanco " +
      `(${marginMm} mm alrededor del dibujo) sin cinta, pinzas ni letras. Soportes pequeños: corte ` +
      "por las marcas, no más cerca. Las líneas de centro son las marcas de encima y debajo; a los " +
      "lados, la unión entre la celda 7 y la 8.",
    acrossReads: (length) => `${length} horizontal: leído`,
    upReads: (length) => `${length} vertical: leído`,
    columns: ["Núm.", "Uso", "Dónde", "Páginas"],
    places: {
      "wheel plate": {
        name: "Placas de rueda",
        where: "Una en cada rueda, centro con centro, mirando hacia fuera.",
      },
      "floor point": {
        name: "Puntos de suelo",
        where: "Al menos seis, planas en el suelo alrededor del coche y hasta el soporte.",
      },
      stand: {
        name: "Soporte y blanco",
        where: "Al menos dos, fijas al soporte o al blanco, sin poder moverse respecto a él.",
      },
      pointer: {
        name: "Punteros",
        where: "Cortar por la línea superior: el fin de la marca es la punta, para una foto.",
      },
      "length bar": {
        name: "Barra de longitud",
        where: "51 y 52 en una barra rígida, lo más larga posible; mida de centro a centro.",
      },
    },
    range: (first, last) => `${first} a ${last}`,
    sheetWhere: "Una vez por teléfono: póngala plana y fotografíela desde todos los lados.",
    caution:
      "Mandan siempre el procedimiento del fabricante y las normas del lugar. Estas placas ayudan a " +
      "medir dónde está cada cosa; no certifican ninguna calibración. Use cada número una sola vez. " +
      "Calce las ruedas; nunca trabaje debajo de un coche sostenido solo por un gato.",
    drawing: { board: "placa", stand: "soporte", lengthBar: "barra de longitud" },
  },
};
