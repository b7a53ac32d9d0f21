import type { LeafletWords } from "../building/words.ts";

export const guideEs: LeafletWords = {
  title: "Guía de campo",
  intro:
    "El trabajo del día en dos páginas y, después, qué hacer cuando algo va mal. Las etapas de la " +
    "aplicación están en mayúsculas. Las cifras son práctica común, sin fuente, si no se nombra una.",
  caution:
    "Mandan el procedimiento del fabricante y las normas del lugar. Ruedas calzadas; nadie debajo de un " +
    "coche levantado; cuidado con los gases; no mire a un láser. Decide una persona formada y, donde se " +
    "exija, autorizada.",
  page: (page, pages) => `Plumbshot, guía de campo, página ${page} de ${pages}`,
  sections: [
    {
      title: "Una vez para el taller",
      paragraphs: [
        "Imprima el juego al 100 % en papel mate; mida las dos barras de una hoja con una regla de acero y " +
          "anote las lecturas (PLACAS). Pegue las placas planas. Construya placas de rueda, de suelo, de " +
          "soporte y una barra de longitud (Cómo construirlo), y mida la distancia de las placas y la barra.",
        "Una vez por teléfono: 12 fotos de la hoja de cámara, llenando la imagen, de frente e inclinadas " +
          "hacia todos los lados, algunas con el teléfono girado un cuarto (CÁMARA). Un solo objetivo, sin " +
          "zoom, JPEG, tamaño completo.",
        "Una vez por blanco: enseñe dónde está su centro respecto a las placas del soporte, con fotos y " +
          "placas puntero o con una regla (HOJA Y BLANCO).",
        "En Ajustes: nombre del taller y del técnico, una clave para firmar y la copia de seguridad.",
      ],
    },
    {
      title: "1  Coche y puesto",
      paragraphs: [
        "COCHE: matrícula, qué se hizo, la variante y revisión correctas del procedimiento. Diagnosis antes " +
          "del trabajo, guardada. Neumáticos, carga, altura, piezas, puertas, cargador: marque lo hecho y " +
          "diga por qué algo no procede.",
        "PUESTO: suelo nivelado donde están el coche y el blanco, espacio libre, luz uniforme, nada que " +
          "parezca un blanco detrás del blanco. Ruedas rectas, freno según el procedimiento, calzos.",
        "HOJA Y BLANCO: copie los números del fabricante en el dibujo, cada uno con su tolerancia y la " +
          "página donde está. Elija el blanco. Sin tolerancia no hay veredicto.",
      ],
    },
    {
      title: "2  Colocar las placas",
      drawing: "around",
      paragraphs: [
        "Placas en las cuatro ruedas como dice cada una, pies en el borde de la llanta. Seis o más placas de " +
          "suelo, a los dos lados, del coche al blanco. Dos o más en el soporte, atornilladas. La barra de " +
          "longitud en el suelo donde la vean muchas fotos. Desde aquí nadie toca coche, placas ni soporte " +
          "hasta que estén las fotos.",
      ],
    },
    {
      title: "3  Fotos",
      paragraphs: [
        "Una docena desde todo alrededor, a la altura de la cadera y más arriba, con tres o más placas en " +
          "cada una, cada placa en tres o más fotos, y placas comunes entre vecinas. Quieto en cada foto. El " +
          "mismo teléfono y objetivo, sin zoom, sin flash sobre placas mojadas o brillantes.",
        "FOTOS muestra enseguida qué se encontró en cada foto: tome otra donde falte una placa, antes de " +
          "mover nada. Si la hoja cuenta desde la línea de empuje: ruede el coche media vuelta de rueda y " +
          "tome otra ronda como posición 2.",
      ],
    },
    {
      title: "4  Veredicto, mover, otra vez",
      paragraphs: [
        "COLOCACIÓN: cumple, no cumple o no probado en cada comprobación, con su intervalo. No probado no es " +
          "un veredicto: la página dice qué lo probaría. Si dice hacia dónde mover, mueva el soporte, toque " +
          "'Se movió el soporte' y fotografíe otra vez sus placas junto con placas que no se movieron.",
        "Compare una distancia con la cinta y anótela: una lectura independiente halla lo que las fotos no " +
          "pueden.",
      ],
    },
    {
      title: "5  La prueba, después, el registro",
      paragraphs: [
        "Ejecute el procedimiento con el equipo de diagnosis. Nadie se acerca al coche ni al soporte. Después, " +
          "tres o más fotos con placas de rueda y de soporte, 'después de la prueba': prueban que nada se movió.",
        "REGISTRO: diagnosis después, prueba en carretera, notas, informes adjuntos. Cierre el registro: antes " +
          "se listan los puntos pendientes. El PDF es para el cliente; sus fotos son copias tapadas que usted " +
          "miró. Haga copia de seguridad del teléfono una o dos veces por semana.",
        "Quite placas y cuerdas antes de mover el coche.",
      ],
    },
    {
      title: "Comparado con plomada, cuerda y cinta",
      paragraphs: [
        "A mano: marcas de los bujes con plomada (1,5 mm), cuerda por los centros de ambos ejes, distancia con " +
          "cinta (2 mm por lectura), escuadra por diagonales iguales a una barra de 1,2 m, blanco a 2,5 m. " +
          "SIMULADO con estas desviaciones típicas, que son práctica común sin fuente (tests/tools/by-hand.ts).",
        "Plumbshot: lo que declara para el trabajo de muestra con fotos sintéticas, 16 fotos, blanco a 2,5 m " +
          "(npm run demo). No se ha hecho ninguna comparación con cinta en un coche real.",
      ],
      partsTitle: "95 de cada 100 errores son menores que",
      parts: [
        ["", "distancia hacia delante, a mano / Plumbshot", "4,4 mm / 1,7 mm"],
        ["", "lateral a la línea central, a mano / Plumbshot", "5,7 mm / 1,6 mm"],
        ["", "giro del blanco, a mano / Plumbshot", "0,43 / 0,03 grados"],
        ["", "tiempo a mano (práctica común, dos personas para la cinta)", "30 a 60 minutos"],
        ["", "tiempo con Plumbshot en un coche real", "aún sin medir"],
      ],
    },
    {
      title: "Cuando algo va mal",
      newPage: true,
      paragraphs: [],
      pairs: [
        [
          "Una placa no se encuentra",
          "Más cerca, o menos de lado: sus celdas necesitan 4 píxeles. ¿Franja de sol, reflejo o sombra " +
            "fuerte? Gírela o dele sombra. ¿Suciedad o cinta en el margen blanco? Límpiela o imprímala otra vez.",
        ],
        [
          "'La foto se redujo' o 'tomada con otra cámara'",
          "Vino por un mensajero o un editor, o el teléfono cambió al gran angular. Tómela con la cámara del " +
            "teléfono a 1x y elija el archivo mismo.",
        ],
        [
          "'Sin conexión' entre fotos",
          "Algunas fotos no comparten placas con las demás. Tome dos fotos que muestren placas de ambos grupos.",
        ],
        [
          "'Las fotos contradicen el objetivo'",
          "Otro teléfono, otro objetivo o zoom que en las fotos de la hoja; o una funda delante del objetivo. " +
            "Fotografíe otra vez la hoja de cámara con el objetivo que usa.",
        ],
        [
          "'Una placa se movió' o 'está en dos lugares'",
          "Se golpeó o resbaló mientras se tomaban las fotos, o un número se imprimió dos veces y ambas están " +
            "puestas. Corríjalo, repita las fotos de esa parte y aparte las anteriores.",
        ],
        [
          "'Una placa de rueda está mal puesta'",
          "Un pie sobre una válvula, un contrapeso o un golpe de la llanta; una cuerda que tira de un lado. " +
            "Colóquela otra vez y repita las fotos de esa rueda.",
        ],
        [
          "'Las longitudes no coinciden', todo sale más largo o corto",
          "Impresora no al 100 %, lectura mal anotada o placas de otra impresión. Mida las dos barras de una " +
            "placa puesta; mida otra vez la barra de longitud.",
        ],
        [
          "No probado aunque parece correcto",
          "El intervalo es más ancho que el sitio en la tolerancia. Por este orden: más fotos del soporte desde " +
            "ambos lados; una longitud medida mayor; otra posición del coche; mejores placas de rueda.",
        ],
        [
          "La cinta dice otra cosa",
          "No haga la media. ¿Desde qué punto se midió: eje, parachoques, sensor? ¿La altura es desde el suelo " +
            "bajo el coche o bajo el blanco? Repita la medida con cinta y después las fotos.",
        ],
        [
          "Dice que no cumple, y mover no ayuda",
          "Mire los sentidos: izquierda es la del vehículo; adelante, alejándose del frente del coche. " +
            "Compruebe que se eligieron el blanco y el paso correctos.",
        ],
        [
          "Batería agotada, página perdida, llamada",
          "Abra otra vez la aplicación: todo lo que se mostró como guardado está. La foto que el teléfono " +
            "perdió se pide de nuevo.",
        ],
        [
          "Poco espacio",
          "Copia de seguridad de todo (Ajustes) y después borre trabajos antiguos para siempre. Los registros " +
            "cerrados necesitan sus fotos.",
        ],
        [
          "Un cliente pregunta meses después",
          "Registros cerrados, buscar por matrícula o nombre. El resumen del papel debe ser el de la pantalla; " +
            "'Verificar un archivo' nombra lo que se cambió.",
        ],
      ],
    },
  ],
};
