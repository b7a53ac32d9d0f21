import type { BuildingWords } from "./words.ts";

export const buildingEs: BuildingWords = {
  title: "Cómo construirlo",
  intro:
    "Dos placas de rueda de diseño propio, placas de suelo, placas de soporte y una barra de longitud, " +
    "con piezas de cualquier ferretería. Todas las medidas en milímetros. No tienen que ser exactas: " +
    "lo que cuenta se mide después y se anota una vez. Las medidas y tolerancias son práctica común, " +
    "sin fuente.",
  caution:
    "Calce las ruedas; nadie debajo de un coche levantado; quite placas y cuerdas antes de mover el " +
    "coche con rapidez. Mandan el procedimiento del fabricante y las normas del lugar.",
  partsTitle: "Piezas",
  page: (page, pages) => `Plumbshot, cómo construirlo, página ${page} de ${pages}`,
  labels: {
    fromOutside: "desde fuera",
    section: "corte por el centro de la rueda",
    offset: "distancia",
    sameReading: "la misma lectura en las tres",
    fromAboveCut: "desde arriba, en corte",
    straightEdge: "regla recta",
    printedFace: "cara impresa",
    left: "lectura izquierda",
    right: "lectura derecha",
    floorBoard: "Placa de suelo",
    standBoard: "Placas de soporte",
    target: "blanco",
    rigid: "rígidas con el blanco, no con su bisagra",
    centreToCentre: "medido: de centro a centro",
    asLong: "tan larga como permitan el puesto y la furgoneta, de 1 a 3 m",
    front: "frente",
    asTheSheet: "como dice la hoja",
  },
  sections: [
    {
      title: "Placa de rueda con brazos",
      drawing: "armPlate",
      paragraphs: [
        "Tres brazos apoyan sus pies en el borde exterior de la llanta, y la placa queda paralela a la " +
          "rueda. Un cono en el tornillo central entra en el agujero del buje o se apoya en el centro " +
          "de la tapa y la centra. Dos cuerdas elásticas con ganchos alrededor del neumático o entre " +
          "los radios la sujetan; deben tirar por igual.",
        "Ajuste los tres pies a la misma longitud (una tuerca contra el brazo). Muévalos por sus ranuras " +
          "hasta que apoyen en el borde de la llanta, ninguno sobre la válvula o un contrapeso. Pegue " +
          "la placa con sus marcas de centro sobre el tornillo central, a 120 mm del borde inferior.",
      ],
      parts: [
        [
          "A",
          "panel 220 x 270, composite de aluminio 3 mm o contrachapado 9 mm, plano a 0,5 mm",
          "1",
        ],
        ["B", "brazo: tubo cuadrado 20 x 20, largo 230, ranura de 9 entre 130 y 215", "3"],
        ["C", "pie: tornillo M8 x 80 con tapón de goma, dos tuercas", "3"],
        ["D", "tornillo central M8 x 100 con cono, diámetro de 60 a 20, madera o plástico", "1"],
        ["E", "separador de 30 entre el triángulo central y el panel", "4"],
        ["", "cuerda elástica con dos ganchos", "2"],
      ],
    },
    {
      title: "Placa de rueda con garras",
      drawing: "clawPlate",
      paragraphs: [
        "Tres garras corren por una barra y un montante, cada una con una escala en milímetros desde el " +
          "centro. Engánchelas en el borde de la llanta (no en el neumático), tire hacia fuera y apriete " +
          "las palomillas con la MISMA lectura en las tres: así la placa está centrada en cualquier " +
          "llanta. Nada toca el buje: para ruedas con el buje hundido o tapado.",
        "Las barras quedan a 8 o 10 mm de la llanta, sobre los hombros de las garras, que dejan la placa " +
          "paralela. Compruébelo: la distancia del panel al borde de la llanta es igual en los cuatro " +
          "lados, a 1 mm.",
      ],
      parts: [
        ["A", "panel 220 x 270 como el anterior", "1"],
        [
          "F",
          "barra: aluminio 25 x 25, largo 470; montante de 235, atornillado a escuadra",
          "1 + 1",
        ],
        ["G", "corredera: perfil en U de 30 con tornillo de palomilla M6", "3"],
        ["H", "garra: pletina 20 x 3, gancho de 5, con tubo de goma", "3"],
        ["E", "separador de 30", "4"],
        ["", "escala de acero adhesiva, 0 en el centro de la placa", "3"],
      ],
    },
    {
      title: "Medir la distancia de una placa, una vez",
      drawing: "offset",
      paragraphs: [
        "Con la placa montada en una rueda, ponga una regla recta sobre el borde exterior de la llanta, " +
          "junto a la placa. Mida desde ella hasta la cara impresa a la izquierda y a la derecha, con " +
          "calibre de profundidad o regla de acero. La distancia es la media de las dos. Si difieren " +
          "más de 0,5 mm, la placa no está paralela: ajuste antes pies o garras.",
        "Hágalo con cada placa. Un solo número sirve para un juego cuyas placas coincidan a 0,5 mm. " +
          "Anótelo en la aplicación, en Placas, Placas de rueda, y guárdelo como juego del taller.",
      ],
    },
    {
      title: "Pegar, y lo bastante plano",
      paragraphs: [
        "Imprima al 100 % en papel mate, mida las dos barras y pegue: cola en aerosol o de empapelar, en " +
          "capa fina, apretando del centro hacia fuera con un rodillo blando. Sin burbujas ni plástico.",
        "Un canto recto sobre las dos diagonales no deja ver más de 0,5 mm. El cartón, el cartón pluma y " +
          "el contrachapado fino se doblan con el tiempo: use composite de aluminio, vidrio o " +
          "contrachapado de abedul de 9 mm o más. Una placa mojada se imprime de nuevo.",
        "Deje libre el margen blanco alrededor del dibujo: sin cinta, pinzas, tornillos ni letras.",
      ],
    },
    {
      title: "Placas de suelo y de soporte",
      drawing: "floorAndStand",
      paragraphs: [
        "Las placas de suelo están planas, sobre tres pies pequeños de goma o directamente en el suelo. " +
          "Mida a qué altura queda la cara impresa y anótelo (Placas, Más). Al menos seis: junto a las " +
          "ruedas y hasta el blanco.",
        "Las placas de soporte van atornilladas a la pieza que lleva el blanco, dos o más, lo más " +
          "separadas posible, mirando al coche. Lo que se inclina debe llevar juntas las placas y el " +
          "blanco. Se quedan para siempre: el blanco se enseña una vez.",
      ],
      parts: [
        ["J", "pie de goma de 3 de alto, tres por placa de suelo", "3"],
        ["K", "escuadra y dos tornillos por placa de soporte, sin imán ni pinza", "2"],
      ],
    },
    {
      title: "Barra de longitud",
      drawing: "bar",
      paragraphs: [
        "Una barra rígida con las placas 51 y 52 en sus extremos lleva la escala a todos los trabajos. " +
          "Mida de centro a centro de placa con una cinta de acero entre dos, o con láser de borde a " +
          "borde; mida tres veces, en tres días, y tome la media. El acero crece 1,2 mm por cada 100 m " +
          "y grado: aquí no importa; el aluminio, el doble.",
      ],
      parts: [["L", "tubo rectangular de aluminio 40 x 20, o un nivel recto de acero", "1"]],
    },
    {
      title: "Dónde van las placas",
      drawing: "around",
      paragraphs: [
        "Placas 1 a 4 en las ruedas, como dice la hoja impresa. Placas de suelo a los dos lados, entre " +
          "coche y blanco, ninguna escondida tras una rueda o bajo el parachoques. Cada placa debe verse " +
          "en tres fotos o más, tres placas o más en cada foto, y las fotos vecinas deben compartir " +
          "placas. Use cada número una sola vez.",
      ],
    },
  ],
};
