/**
 * Las observaciones del motor de medida en español, por código. `{about}` es la foto, la placa o el
 * campo. Los números están en la frase original, que se muestra debajo.
 */
export const remarksEs: Readonly<Record<string, readonly [message: string, remedy: string]>> = {
  "job-input": [
    "Falta un dato del trabajo o no es posible.",
    "Corrija el campo que se nombra abajo.",
  ],
  "no-photos": ["Este trabajo no tiene fotos.", "Añada las fotos del puesto."],
  "nothing-usable": ["No se puede usar ninguna foto.", "Vea la observación de cada foto."],
  "no-camera": [
    "No se sabe nada del objetivo del teléfono.",
    "Fotografíe la hoja de cámara o elija un perfil.",
  ],
  "no-board": [
    "En {about} no se encontró ninguna placa.",
    "Acérquese, no se mueva y deje placas enteras en la imagen.",
  ],
  "no-sheet": [
    "En {about} no se encontró la hoja de cámara.",
    "Repita la foto con la hoja entera y luz uniforme.",
  ],
  "no-solution": [
    "Las fotos de la hoja no encajan entre sí.",
    "Repita las fotos con un solo teléfono y una hoja plana.",
  ],
  "no-such-step": ["La hoja de colocación no tiene ese paso.", "Elija otro paso."],
  "no-tilt": ["Todas las fotos de la hoja son de frente.", "Añada fotos en oblicuo."],
  "little-tilt": ["Las fotos de la hoja tienen poca inclinación.", "Añada fotos a unos 35 grados."],
  "all-from-one-place": [
    "Todas las fotos miran la hoja desde el mismo lado.",
    "Añada fotos desde otros lados.",
  ],
  "corner-not-covered": [
    "Ninguna foto muestra la hoja cerca de una esquina de la imagen.",
    "Añada fotos con la hoja en esa esquina.",
  ],
  "too-few-photos": ["Hay muy pocas fotos.", "Añada fotos desde otros sitios."],
  "photo-alike": ["Dos fotos de la hoja son casi iguales.", "Cambie de sitio entre foto y foto."],
  "photo-not-used": ["{about} no se usó.", "Repita esa foto."],
  "photo-zoomed": [
    "{about} tiene otra distancia focal que las demás; no se usó.",
    "Repita la foto sin zoom.",
  ],
  "photo-off-centre": [
    "{about} parece recortada; no se usó.",
    "Use la foto original, sin recortar.",
  ],
  "photo-does-not-fit": ["{about} no encaja con las demás; no se usó.", "Repita esa foto."],
  "photo-resized": [
    "{about} fue reducida respecto a las demás.",
    "Use la foto original de la cámara.",
  ],
  "photo-shrunk": [
    "{about} es más pequeña que una foto de teléfono: fue reducida.",
    "Use la foto original de la cámara.",
  ],
  "photo-too-small": [
    "{about} es demasiado pequeña para medir.",
    "Use la foto original de la cámara.",
  ],
  "photo-too-large": [
    "{about} es demasiado grande.",
    "Elija en el teléfono un tamaño de foto menor.",
  ],
  "photo-memory": [
    "No hay memoria suficiente para leer {about}.",
    "Cierre otras aplicaciones y pruebe otra vez.",
  ],
  "photo-of-another-phone": [
    "{about} es de otro teléfono.",
    "Haga todas las fotos con el mismo teléfono.",
  ],
  "photo-of-another-size": [
    "{about} tiene otro tamaño que las demás.",
    "Haga todas las fotos con el mismo ajuste.",
  ],
  "photo-through-another-lens": [
    "{about} se hizo con otro objetivo del teléfono.",
    "Use siempre el mismo objetivo.",
  ],
  "photo-with-digital-zoom": ["{about} se hizo con zoom digital.", "Repita la foto sin zoom."],
  "photo-through-browser": ["{about} se leyó con el decodificador del navegador.", ""],
  "other-phone": [
    "El perfil es de otro teléfono.",
    "Elija el perfil de este teléfono o fotografíe la hoja.",
  ],
  "other-lens": [
    "El perfil es de otro objetivo.",
    "Elija el perfil correcto o fotografíe la hoja.",
  ],
  "other-size": [
    "El perfil es de otro tamaño de foto.",
    "Elija el perfil correcto o fotografíe la hoja.",
  ],
  "digital-zoom": ["Las fotos se hicieron con zoom digital.", "Repita las fotos sin zoom."],
  "exif-missing": [
    "{about} no lleva datos de cámara: no se sabe qué teléfono la hizo.",
    "Use la foto original, no una enviada por mensajería.",
  ],
  "exif-damaged": ["Los datos de cámara de {about} están dañados.", ""],
  "exif-names-no-camera": ["Los datos de {about} no nombran ninguna cámara.", ""],
  "jpeg-damaged": ["Los datos de {about} están dañados.", "Copie la foto otra vez o repítala."],
  "jpeg-ends-early": ["El archivo {about} está incompleto.", "Copie la foto otra vez o repítala."],
  "png-ends-early": ["El archivo {about} está incompleto.", "Copie la foto otra vez o repítala."],
  "jpeg-unsupported": [
    "{about} es un tipo de JPEG que no se puede medir.",
    "Use la foto original de la cámara.",
  ],
  "jpeg-colour": [
    "{about} tiene colores de imprenta: fue editada.",
    "Use la foto original de la cámara.",
  ],
  unreadable: ["{about} no se puede leer.", "Copie la foto otra vez."],
  "worker-failed": [
    "Leer {about} detuvo dos veces el código de visión.",
    "Deje fuera esta foto o repítala. Las demás no se ven afectadas.",
  ],
  "same-board-twice": [
    "La misma placa aparece dos veces en {about}.",
    "Quite la copia, o el espejo o charco que la refleja.",
  ],
  reflection: ["Se dejó fuera un reflejo de una placa en pintura o cristal.", ""],
  "mirrored-print": ["Una placa aparece reflejada.", "Imprima las placas sin reflejar."],
  "unknown-board": [
    "En {about} hay una placa que no es de este trabajo.",
    "Quítela del puesto o indíquela en el trabajo.",
  ],
  "wheels-missing": [
    "Faltan placas de rueda en las fotos.",
    "Fotografíe cada rueda con su placa y placas de suelo.",
  ],
  "target-missing": [
    "El trabajo no dice dónde está el blanco respecto a su soporte.",
    "Indíquelo en Placas.",
  ],
  "stand-missing": [
    "Ninguna foto muestra una placa del soporte.",
    "Fotografíe el soporte con dos placas de suelo.",
  ],
  "target-other-name": [
    "El paso pide otro blanco que el del trabajo.",
    "Compruebe el nombre del blanco.",
  ],
  "target-turned-over": ["El blanco parece girado media vuelta.", "Compruebe hacia dónde mira."],
  "not-connected": [
    "Hay grupos de placas que ninguna foto une.",
    "Haga fotos que muestren placas de dos grupos a la vez.",
  ],
  "not-determined": [
    "Las fotos y medidas no determinan algo.",
    "Añada fotos o medidas donde se indica.",
  ],
  "not-converged": ["El ajuste no llegó a asentarse.", "Compruebe longitudes y fotos."],
  "two-solutions": [
    "Las fotos apenas distinguen entre dos giros reflejados.",
    "Fotografíe esa placa en oblicuo.",
  ],
  "board-moved": [
    "Una placa se movió entre dos fotos.",
    "Repita las fotos después del movimiento.",
  ],
  "board-scaled": [
    "Una placa parece impresa a otro tamaño.",
    "Mida sus barras o imprímala otra vez.",
  ],
  "does-not-fit": ["Una medida no encaja con el resto.", "Compruébela."],
  "given-less-weight": ["Una placa encaja mal en {about} y cuenta menos.", "Mire esa foto."],
  "misfit-overall": [
    "En conjunto las fotos encajan peor de lo indicado.",
    "Compruebe que nada se movió y que las placas están planas.",
  ],
  unsteady: ["Una placa se movió mientras se hacían las fotos.", "Fíjela y repita las fotos."],
  "floor-board-off-plane": [
    "El suelo bajo una placa no está en el plano de las demás.",
    "Mire debajo de la placa; si el suelo es así, indique su desigualdad.",
  ],
  "floor-differs": [
    "El suelo bajo el blanco está a otra altura que bajo el coche.",
    "Compruebe desde qué suelo pide la altura el procedimiento.",
  ],
  "floor-from-wheels": [
    "Sin placas de suelo: el suelo se toma bajo los centros de rueda.",
    "Ponga placas de suelo.",
  ],
  "floor-boards-few": ["Hay pocas placas de suelo.", "Añada placas de suelo."],
  "second-position-asked": [
    "La hoja pide una segunda posición del coche y solo hay una.",
    "Haga rodar el coche media vuelta de rueda y fotografíe otra vez.",
  ],
  "second-position-helps": [
    "La línea de empuje descansa en una sola posición del coche.",
    "Haga rodar el coche media vuelta de rueda y fotografíe otra vez.",
  ],
  "rolled-too-little": [
    "El coche rodó demasiado poco.",
    "Hágalo rodar cerca de media vuelta de rueda.",
  ],
  "wheel-boards-swapped": [
    "Las placas de rueda parecen cambiadas.",
    "Compruebe qué placa está en qué rueda.",
  ],
  "wheel-board-upside-down": [
    "Una placa de rueda parece estar al revés.",
    "Gírela o confirme su posición.",
  ],
  "plate-sits-badly": ["Una placa de rueda asienta mal.", "Compruebe su montaje."],
  "methods-agree": ["Dos métodos coinciden.", ""],
  "methods-disagree": ["Dos métodos no coinciden.", "Compruebe plomadas y placas."],
  "print-unchecked": ["El tamaño de impresión no está comprobado.", "Mida las barras impresas."],
  "print-scaled": [
    "La página no se imprimió al 100 %.",
    "Imprima otra vez al 100 % (tamaño real).",
  ],
  "print-stretched": [
    "La impresión está estirada en una dirección.",
    "Lea otra vez las dos barras o use otra impresora.",
  ],
  "print-reading": [
    "Una lectura de las barras no puede ser correcta.",
    "Mida de marca a marca y escriba milímetros.",
  ],
  "length-without-board": [
    "Una longitud medida no se usa: falta una de sus placas en las fotos.",
    "Fotografíe esa placa.",
  ],
  "profile-unreadable": [
    "El perfil de cámara no se puede leer.",
    "Hágalo otra vez con fotos de la hoja.",
  ],
  "profile-disagrees": [
    "Las fotos del trabajo contradicen el perfil de cámara.",
    "Fotografíe otra vez la hoja.",
  ],
  "sheet-bent": ["La hoja de cámara está doblada.", "Póngala plana y repita las fotos."],
  "sheet-stretched": [
    "La hoja se imprimió con escalas distintas a lo ancho y a lo alto.",
    "Imprímala otra vez al 100 %.",
  ],
  "sheet-partly-seen": [
    "En {about} solo se usó parte de la hoja.",
    "Muestre la hoja entera, sin reflejos.",
  ],
  "features-noisy": [
    "Los detalles encajan peor de lo que promete su nitidez; la incertidumbre se amplió.",
    "Más luz y pulso firme.",
  ],
  "sheet-field": ["Un campo de la hoja de colocación no vale: {about}.", "Corríjalo."],
  "sheet-unit": [
    "Un valor de la hoja es poco corriente: {about}. ¿Es otra unidad?",
    "Todas las longitudes son milímetros. Corrija el número o confírmelo.",
  ],
  "sheet-angle-size": ["Un ángulo de la hoja es demasiado grande: {about}.", "Escriba grados."],
  "sheet-tolerance-size": [
    "Una tolerancia es extrañamente estrecha o ancha: {about}.",
    "Escriba desviaciones con signo, en mm o grados.",
  ],
  "sheet-no-limit": ["Las dos tolerancias están abiertas: {about}.", "Indique al menos una."],
  "sheet-no-width": [
    "La tolerancia no tiene anchura: {about}.",
    "Escriba la del procedimiento, por ejemplo −5 y 5.",
  ],
  "sheet-lower-above-upper": [
    "La tolerancia de abajo está por encima de la de arriba: {about}.",
    "Cámbielas o corrija el signo.",
  ],
  "sheet-required-outside": [
    "El valor pedido queda fuera de su propia tolerancia: {about}.",
    "Escriba desviaciones del valor pedido.",
  ],
  "sheet-no-reference": [
    "No se dice de dónde viene el número: {about}.",
    "Anote documento, página y fecha.",
  ],
  "sheet-repeated-id": [
    "Un nombre corto se usa más de una vez: {about}.",
    "Dé a cada uno el suyo.",
  ],
  "sheet-tilt-kind": [
    "Pasos de inclinación en un blanco que no suele inclinarse: {about}.",
    "Compruebe el tipo de blanco.",
  ],
  "sheet-not-json": [
    "{about} no es una hoja de colocación.",
    "Elija un archivo escrito por Plumbshot.",
  ],
  "sheet-format": ["Ese archivo no es una hoja de colocación.", "Elija otra."],
  "sheet-version": ["La hoja es de otra versión.", "Use un programa más nuevo."],
  "sheet-not-object": ["Ese archivo no es una hoja de colocación.", "Elija otra."],
};
