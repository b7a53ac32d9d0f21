import type { glossaryTexts as english } from "../en/glossary.ts";
import type { Same } from "../en/same.ts";

export const glossaryTexts: Same<typeof english> = {
  "term.thrustLine": "línea de empuje",
  "term.thrustLine.text":
    "Hacia donde empujan las ruedas traseras: desde el centro del eje trasero, a medio camino entre las direcciones de las dos ruedas. Un radar se ajusta casi siempre a ella, no a la carrocería.",
  "term.thrustAngle": "ángulo de empuje",
  "term.thrustAngle.text":
    "El ángulo entre la línea de empuje y la línea central. Si pasa de lo que permite el fabricante, primero se alinean las ruedas.",
  "term.centreline": "línea central",
  "term.centreline.text":
    "La línea por los centros de los dos ejes. Las cámaras delanteras se colocan a menudo según ella.",
  "term.axleLine": "línea del eje",
  "term.axleLine.text":
    "La línea por los centros de las dos ruedas de un eje. Las distancias al blanco empiezan ahí si la página no dice otra cosa.",
  "term.sure": "seguro con",
  "term.sure.text":
    "Hasta dónde puede estar el valor verdadero del medido: en 95 de cada 100 mediciones así queda dentro. Crece con pocas fotos, malas impresiones y longitudes cortas.",
  "term.notProven": "no demostrado",
  "term.notProven.text":
    "El valor puede estar bien o mal: el borde de la tolerancia queda dentro de lo que no es seguro. Lo decide una medición mejor o un lugar más cerca del centro.",
  "term.tolerance": "tolerancia",
  "term.tolerance.text":
    "Cuánto puede desviarse del valor pedido, según la página del fabricante. Se dibuja como banda rayada.",
  "term.offset": "distancia de la cara impresa",
  "term.offset.text":
    "Cuánto sobresale la cara impresa de una placa de rueda del plano exterior de la llanta. Se mide una vez por juego.",
  "term.printCheck": "control de impresión",
  "term.printCheck.text":
    "Dos barras en cada página muestran si la impresora respetó el tamaño. Medio por ciento de error mueve {far} en {off}.",
  "term.lengthBar": "barra de longitud",
  "term.lengthBar.text":
    "Una barra rígida con una placa en cada extremo, medida una vez. Dice a cada trabajo cuánto miden las cosas de verdad.",
  "term.floorPoint": "placa de suelo",
  "term.floorPoint.text":
    "Una placa plana sobre el suelo. Unen coche y blanco y dicen cómo está el suelo.",
  "term.pointer": "puntero",
  "term.pointer.text":
    "Una placa con punta que se pone en un punto para una foto. Así la herramienta aprende dónde está el centro del blanco.",
  "term.residual": "residuo",
  "term.residual.text":
    "A qué distancia queda en la foto la esquina de una placa de donde todo junto dice que debería estar, en píxeles. Unas décimas es lo normal.",
  "term.varianceFactor": "factor de varianza",
  "term.varianceFactor.text":
    "Si la dispersión de todas las medidas es la esperada: 1 es lo esperado, 4 es el doble de dispersión. Muy por encima de 1, algo no encaja.",
  "term.redundancy": "redundancia",
  "term.redundancy.text":
    "Cuántas medidas hay además de las justas. Cuantas más, más errores se encuentran.",
  "term.probability": "probabilidad de cumplir",
  "term.probability.text":
    "Cuán probable es que el valor verdadero esté en la tolerancia, dados el medido y su incertidumbre (JCGM 106). Con 95\u00a0% o más, cumple.",
  "term.toe": "convergencia",
  "term.toe.text":
    "Cuánto apunta una rueda hacia dentro o hacia fuera, vista desde arriba. La mitad de lo que tienen juntas las dos de un eje.",
  "term.camber": "caída",
  "term.camber.text":
    "Cuánto se inclina la parte alta de una rueda hacia dentro o hacia fuera. Visto de frente.",
  "term.setBack": "retraso de eje",
  "term.setBack.text":
    "Cuánto queda una rueda delantera detrás de la otra. Delata una pieza doblada o un bastidor desplazado.",
  "term.wheelbase": "distancia entre ejes",
  "term.wheelbase.text":
    "Del eje delantero al trasero. Figura en los papeles del coche y comprueba toda la medición.",
  "term.sideways": "desplazamiento lateral",
  "term.sideways.text":
    "Cuánto está el centro del blanco a la izquierda o a la derecha de la línea que nombra la página del fabricante. Se mide en ángulo recto a esa línea, no a la carrocería.",
  "term.wheelPlate": "placa de rueda",
  "term.wheelPlate.text":
    "Una placa impresa que se sujeta a una rueda. Dice dónde están el centro y el plano de la rueda.",
  "term.standBoard": "placa del soporte",
  "term.standBoard.text":
    "Una placa (31 a 39) fija al soporte para siempre. Una vez enseñada, dice dónde está el blanco.",
  "term.cameraSheet": "hoja de cámara",
  "term.cameraSheet.text":
    "Una página impresa con cuadros y marcas, fotografiada desde varios lados. Muestra cómo curva la imagen el objetivo del teléfono.",
  "term.referencePoint": "punto de referencia",
  "term.referencePoint.text":
    "El punto del blanco hasta el que mide la página del fabricante. Casi siempre el centro de su cara.",
  "term.plumbPoint": "punto de plomada",
  "term.plumbPoint.text":
    "Un punto del coche bajado al suelo con una plomada. Sobre su marca va una placa de suelo.",
  "term.bearing": "rumbo",
  "term.bearing.text":
    "La dirección en que está el blanco, vista desde arriba. Se cuenta desde el frente hacia la izquierda o la derecha.",
  "term.diagonal": "diagonal",
  "term.diagonal.text":
    "Dos cintas cruzadas de las ruedas a los extremos de la barra. Si miden lo mismo, la barra está a escuadra con el coche y en su centro.",
  "term.guardBand": "banda de guarda",
  "term.guardBand.text":
    "Una franja dentro de los bordes de la tolerancia que no cuenta como cumplida. Mantiene lo que no es seguro lejos del límite (ISO 14253-1).",
  "term.standardDeviation": "desviación típica",
  "term.standardDeviation.text":
    "El tamaño habitual de un error. Dos de cada 3 son menores; 95 de cada 100, menores que el doble.",
  "term.profile": "perfil de cámara",
  "term.profile.text":
    "Lo que se sabe del objetivo de un teléfono, guardado para los próximos trabajos. Vale solo para este teléfono, esta cámara y este zoom.",
  "term.revision": "revisión",
  "term.revision.text":
    "Un registro cerrado que ya nadie puede cambiar. Un cambio posterior hace la siguiente y dice qué es distinto.",
};
