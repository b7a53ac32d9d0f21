import type { RemarkCode } from "../../../../job/result/remark-codes.ts";
import type { RemarkPair } from "../../en/text-types.ts";

const original = "Use la foto original de la cámara del teléfono.";
const asJpeg = "Use el JPEG que escribió la cámara del teléfono o guarde esta imagen como JPEG.";
const setJpeg =
  "Ajuste la cámara del teléfono para guardar JPEG (a menudo «lo más compatible») y repita la foto, o comparta la foto como JPEG desde la galería.";
const copyAgain = "Copie la foto otra vez o repítala.";
const noZoom = "Deje el zoom en 1x y repita la foto.";

/** Observaciones sobre archivos de fotos y sobre la etapa de cámara. */
export const photoRemarks = {
  "photo-format-heic": [
    "{about} es una foto HEIC, y la parte del programa que lee HEIC no se pudo cargar.",
    `Abra Plumbshot una vez con conexión y añada la foto otra vez. O bien: ${setJpeg}`,
  ],
  "photo-format-avif": ["{about} es una imagen AVIF, que aquí no se puede leer.", setJpeg],
  "photo-format-jpeg-xl": ["{about} es una imagen JPEG XL, que aquí no se puede leer.", setJpeg],
  "photo-format-raw": ["{about} es una foto en bruto, que aquí no se puede leer.", setJpeg],
  "photo-format-webp": ["{about} es una imagen WebP, que aquí no se puede leer.", asJpeg],
  "photo-format-tiff": ["{about} es una imagen TIFF, que aquí no se puede leer.", asJpeg],
  "photo-format-gif": ["{about} es una imagen GIF; tiene pocos tonos para medir.", asJpeg],
  "photo-format-bmp": ["{about} es una imagen BMP, que aquí no se puede leer.", asJpeg],
  "photo-format-video": [
    "{about} es un vídeo, no una foto.",
    "Haga fotos sueltas; un vídeo es demasiado basto y borroso. De una foto animada (una foto con un vídeo corto) elija la foto.",
  ],
  "photo-format-pdf": [
    "{about} es un documento PDF, no una foto.",
    "Elija las fotos que escribió la cámara del teléfono.",
  ],
  "photo-format-empty": ["El archivo {about} está vacío.", "Copie otra vez la foto del teléfono."],
  "photo-format-unknown": [
    "{about} no es una foto.",
    "Elija las fotos que escribió la cámara del teléfono.",
  ],
  "photo-too-small": [
    "{about} tiene solo {width} x {height} píxeles; en ella no se puede medir nada.",
    original,
  ],
  "photo-too-large": [
    "{about} es demasiado grande para leerla aquí.",
    "Elija en el teléfono un tamaño de foto menor.",
  ],
  "photo-shrunk": [
    "{about} tiene solo {width} x {height} píxeles, menos que una foto de teléfono: fue reducida.",
    "Use la foto de tamaño completo; los servicios de mensajería reducen lo que envían.",
  ],
  "photo-memory": [
    "No hay memoria suficiente para leer {about}.",
    "Cierre otras aplicaciones o haga fotos con menos megapíxeles.",
  ],
  "photo-through-browser": [
    "{about} no es JPEG; la convirtió el navegador, lo que cuesta algo de exactitud.",
    "Las fotos JPEG tal como las escribe la cámara se leen directamente.",
  ],
  "heic-damaged": [
    "Los datos de la foto HEIC {about} están dañados o acaban antes de tiempo ({what}).",
    copyAgain,
  ],
  "heic-unsupported": [
    "{about} es un tipo de HEIC que no se puede medir: no tiene plano de grises.",
    original,
  ],
  "heic-several-pictures": [
    "{about} contiene {count} imágenes. Se usa la que el archivo nombra como principal.",
    "Si se trata de otra, guárdela sola en el teléfono y añádala.",
  ],
  "exif-missing": [
    "{about} no lleva datos de cámara (EXIF): no se sabe qué teléfono la hizo.",
    "Use el archivo tal como lo escribió la cámara; los servicios de mensajería y los editores quitan esos datos.",
  ],
  "exif-damaged": [
    "Los datos de cámara (EXIF) de {about} están dañados; lo que no se pudo leer se deja fuera.",
    original,
  ],
  "jpeg-damaged": ["Los datos de {about} están dañados.", copyAgain],
  "jpeg-ends-early": ["El archivo {about} está incompleto.", copyAgain],
  "jpeg-unsupported": ["{about} es un tipo de JPEG que no se puede medir.", original],
  "jpeg-colour": ["{about} tiene colores de imprenta (CMYK): fue editada.", original],
  "png-damaged": ["Los datos de {about} están dañados.", asJpeg],
  "png-unsupported": ["{about} es un tipo de PNG que no se puede leer.", asJpeg],
  "png-ends-early": ["El archivo {about} está incompleto.", "Copie la imagen otra vez."],
  unreadable: ["{about} no se puede leer.", "Copie la foto otra vez o déjela fuera."],
  "worker-failed": [
    "Leer {about} detuvo dos veces el código de visión.",
    "Deje fuera esta foto o repítala. Las demás no se ven afectadas.",
  ],

  "photo-other-phone": [
    "{about} se hizo con otro teléfono que el del perfil de cámara.",
    "Haga todas las fotos del trabajo con el teléfono del perfil o repita la etapa de cámara con este teléfono.",
  ],
  "photo-lens-unknown": [
    "{about} se hizo con otro teléfono ({phone}), cuyo objetivo no se conoce en este trabajo.",
    "Fotografíe la hoja de cámara con ese teléfono o elija el objetivo que se guardó para él; entonces la foto cuenta.",
  ],
  "photo-phone-unclear": [
    "{about} puede ser de cualquiera de estos teléfonos: {phones}. Nada dice de cuál, y cada uno tiene su propio objetivo.",
    "Use el archivo tal como lo escribió el teléfono, añádalo con el teléfono que la hizo o diga en el trabajo de quién es la foto.",
  ],
  "photo-other-lens": [
    "{about} se hizo con otro objetivo que el del perfil de cámara.",
    "Deje el zoom en 1x y no se acerque tanto que el teléfono cambie de objetivo.",
  ],
  "photo-digital-zoom": ["{about} se hizo con zoom digital.", noZoom],
  "photo-cropped": [
    "{about} está recortada o tiene otro formato de imagen que las fotos de la hoja.",
    "Use el archivo original sin recortar y el formato de imagen de la etapa de cámara.",
  ],
  "photo-turned": [
    "{about} fue girada y guardada otra vez.",
    "Use el archivo tal como lo escribió la cámara.",
  ],
  "photo-screenshot": ["{about} parece una captura de pantalla.", original],
  "photo-panorama": ["{about} parece una panorámica.", "Haga una foto corriente."],
  "photo-portrait": [
    "{about} se hizo en modo retrato: el teléfono calculó y recortó la imagen.",
    "Apague el modo retrato y repita la foto.",
  ],
  "photo-size-contradicts": [
    "{about} mide {size} píxeles, pero la cámara escribió {written}: fue recortada o cambiada de tamaño después. La comprobación del objetivo con las fotos del trabajo debe coincidir.",
    "Use el archivo original de la cámara del teléfono.",
  ],
  "photos-cropped": [
    "{photos|Esta foto parece recortada|Estas fotos parecen recortadas}, no solo reducidas, y se dejaron fuera: {names}. Su distancia focal es al menos un {percent:n0} % mayor de lo que sería en una copia reducida.",
    "Use los archivos originales, sin recortar, enviados como archivos o por cable.",
  ],
  "photo-enlarged": [
    "{about} es más grande que las fotos del perfil de cámara.",
    "Ponga en la cámara la resolución de la etapa de cámara o repita esa etapa con este ajuste.",
  ],
  "photo-other-size": [
    "{about} tiene otro tamaño que las fotos del perfil de cámara.",
    "Ponga en la cámara la resolución de la etapa de cámara o repita esa etapa con este ajuste.",
  ],
  "exif-names-no-camera": [
    "{about} no dice qué teléfono la hizo; el objetivo se toma del perfil solo por el tamaño de la foto.",
    "Copie las fotos por cable o como archivos. La comprobación del objetivo con las fotos del trabajo debe coincidir.",
  ],
  "photo-twin": [
    "{photo} muestra exactamente lo mismo que {twin}: es una copia o una segunda foto desde el mismo sitio. Se dejó fuera.",
    "Haga cada foto desde otro sitio; una copia no aporta nada.",
  ],
  "photo-repeated": [
    "{photo} figura como foto {where?after=posterior a la calibración|set-up=del soporte movido|*=de otra posición del coche}, pero repite {twin}: es la misma imagen. No se contó.",
    "Haga fotos nuevas {where?after=después de la calibración|set-up=del soporte donde está ahora|*=del coche en esa posición}.",
  ],
  "photo-other-program": [
    "{photo} lo escribió {program?=un programa sin nombre|*=«{program}»}; la mayoría de las fotos de este teléfono, {usual?=un programa sin nombre|*=«{usual}»}: puede que se haya editado.",
    "Use el archivo tal como lo escribió la cámara del teléfono: una foto recortada, enderezada o corregida ya no muestra el objetivo.",
  ],
  "photo-resized": [
    "{about} es una copia más pequeña; el objetivo se adapta a ella y los puntos medidos son menos exactos.",
    "Envíe las fotos como archivos o por cable para que conserven su tamaño.",
  ],
  "photo-of-another-phone": [
    "{photo} se hizo con {phone}, la mayoría con {usual}. Se dejó fuera.",
    "Haga la etapa de cámara con las fotos de un solo teléfono.",
  ],
  "photo-of-unknown-phone": [
    "{named?yes={photo} se hizo con {phone}; la mayoría no dice con qué teléfono se hizo|*={photo} no dice con qué teléfono se hizo (faltan sus datos EXIF); la mayoría se hizo con {phone}}. Se dejó fuera.",
    "Use los archivos tal como los escribió el teléfono, copiados por cable o enviados como archivos.",
  ],
  "photo-of-another-size": [
    "{photo} mide {size} píxeles, la mayoría {usual}. Se dejó fuera.",
    "Use los archivos originales, todos hechos con el mismo ajuste de la cámara.",
  ],
  "photo-through-another-lens": [
    "{photo} se hizo con otro objetivo del teléfono o con zoom (distancia focal {focal} mm, la mayoría {usual} mm). Se dejó fuera.",
    "Deje el zoom en 1x y no se acerque tanto que el teléfono cambie de objetivo.",
  ],
  "photo-with-digital-zoom": [
    "{about} se hizo con otro zoom digital que la mayoría. Se dejó fuera.",
    "Deje el zoom en 1x en todas las fotos.",
  ],
  "photo-alike": [
    "{photo} muestra la hoja casi igual que {twin} y aporta poco.",
    "Cambie de sitio, de inclinación o de giro del teléfono entre foto y foto.",
  ],
  "photo-not-used": [
    "{photo} se dejó fuera: se usaron {found} marcas de la hoja. {reasons:said}",
    "Repita la foto con la hoja entera, nítida y a la vista.",
  ],
  "photo-zoomed": [
    "{photo} tiene otra distancia focal que las demás, con una diferencia del {share:pct0}. Se dejó fuera.",
    "Deje el zoom en 1x, no cambie de objetivo y repita la foto.",
  ],
  "photo-off-centre": [
    "{photo} tiene su centro óptico a {px:n0} píxeles del de las demás; quizá está recortada. Se dejó fuera.",
    "Use los archivos originales sin recortar o repita la foto.",
  ],
  "photo-does-not-fit": [
    "{photo} no encaja con las demás: sus puntos fallan {times:n0} veces más de lo normal. Se dejó fuera.",
    "Suele ser una foto movida o editada, o la hoja estaba de otra forma; repítala.",
  ],
  "too-few-photos": [
    "{usable|Solo se puede usar una foto|Solo se pueden usar {usable} fotos}; hacen falta al menos {fewest}.",
    "Haga más fotos desde sitios distintos.",
  ],
  "no-tilt": [
    "Todas las fotos miran la hoja casi de frente (inclinación máxima {largest:n0}°); así no se puede saber la distancia focal.",
    "Haga al menos cuatro fotos más con una inclinación de 30 a 45 grados, desde lados distintos.",
  ],
  "little-tilt": [
    "Solo {tilted} de {count} fotos miran la hoja en oblicuo.",
    "Añada fotos con una inclinación de 30 a 45 grados, desde lados distintos.",
  ],
  "corner-not-covered": [
    "Ninguna foto muestra la hoja cerca de estas esquinas de la imagen: {corners:word}; ahí el objetivo solo se supone.",
    "Añada fotos con la hoja en esas esquinas.",
  ],
  "all-from-one-place": [
    "Todas las fotos miran la hoja casi desde un mismo lado (dentro de {spread:n0}°); no se pueden distinguir distancia, distancia focal y distorsión.",
    "Rodee la hoja: haga fotos con una inclinación de 30 a 45 grados desde los cuatro lados.",
  ],
  "sheet-partly-seen": [
    "En {photo} solo se usaron {found} de las {of} marcas de la hoja: una parte queda fuera de la imagen, está tapada o refleja una luz.",
    "Si no era lo que quería, repítala con la hoja libre y sin lámparas reflejadas.",
  ],
  "sheet-reflects": [
    "En {photo} la hoja refleja una luz: {missing} de las {of} marcas se pierden en blanco puro. El resto se usó.",
    "Apague o tape la luz, mueva la hoja o mírela desde otro lado, y repita la foto.",
  ],
  "sheet-bent": [
    "La hoja está doblada {size:mm1} en su largo; la curva se calculó también, con pérdida de exactitud.",
    "Pegue la hoja a algo plano, o muéstrela en una pantalla plana, y repita las fotos.",
  ],
  "sheet-stretched": [
    "Las distancias focales a lo ancho y a lo alto difieren en un {share:pct1}, cosa que ningún teléfono hace: la hoja se imprimió con escalas distintas.",
    "Imprima la hoja al 100 % desde otro programa o con otra impresora; mida las dos barras.",
  ],
  "sheet-two-scales": [
    "La hoja está impresa un {share:pct2} más {way?wider=ancha|taller=alta} de lo debido; el objetivo se calculó sin ese efecto.",
    "Las placas de la misma impresora están estiradas igual: mida las dos barras.",
  ],
  "features-noisy": [
    "Los puntos fallan por {residual:n2} píxeles, {factor:n0} veces lo que promete su nitidez; la incertidumbre se amplió a la par.",
    "Compruebe que la hoja está plana y quieta, y sujete firme el teléfono con buena luz.",
  ],
  "changes-unsettled": [
    "No se pudo fijar cuánto cambian la distancia focal y el desplazamiento de este teléfono de una foto a otra; la incertidumbre de la lente es menos segura de lo que parece.",
    "Haga más fotos de la hoja, inclinadas y desde otros lados.",
  ],
  "profile-unreadable": [
    "El perfil de cámara no se puede leer.",
    "Hágalo otra vez con fotos de la hoja de cámara o elija otro archivo.",
  ],
  "profile-disagrees": [
    "{about?=Las fotos del trabajo contradicen|*={about}: las fotos del trabajo contradicen} el perfil de cámara.",
    "Repita la etapa de cámara con este teléfono, con el mismo zoom y sin funda ni tapa nueva, y mida otra vez.",
  ],
  "profile-disagrees-zoomed": [
    "{about?=Las fotos del trabajo tienen|*={about}: las fotos del trabajo tienen} una distancia focal un {percent:n1} % mayor que el perfil de cámara, como tras un zoom digital o un recorte.",
    "Use las fotos originales, sin recortar y con el zoom de la etapa de cámara, y mida otra vez; si lo son, repita la etapa de cámara.",
  ],
  "no-solution": [
    "Las fotos de la hoja no encajan entre sí como fotos de una hoja plana con un solo objetivo.",
    "Use fotos originales de una sola hoja, con un teléfono y un zoom; ponga la hoja plana.",
  ],
  "no-camera": [
    "No se sabe nada del objetivo del teléfono: no hay fotos de la hoja, ni perfil, ni fotos con placas.",
    "Fotografíe la hoja de cámara (12 fotos) o elija un perfil.",
  ],
  "own-lens": [
    "El objetivo se calculó con las propias fotos del trabajo (distancia focal segura dentro del {sure:pct2}, 95\u00a0%). Supone el {share:pct0} de la varianza de: {check:word}.",
    "Fotografíe una vez la hoja de cámara: los trabajos siguientes con este teléfono serán más seguros.",
  ],
  "hand-turned": [
    "Mientras se leían las fotos, la mano giró unos {rate:n1} grados por segundo; se midió y se descontó. Una mano más firme {helps?yes=habría hecho más segura en un {gain:pct0} esta comprobación: {check:word}.|*=apenas habría mejorado nada.}",
    "Sujete el teléfono con las dos manos, apóyese en algo y toque la pantalla con suavidad.",
  ],
  "photo-on-the-move": [
    "{photo} se tomó en movimiento: el teléfono giró {turn:deg2} mientras se leía, mucho más que en las demás fotos. Cuenta menos.",
    "Quédese quieto al hacer la foto; si hay otras fotos, no se pierde nada.",
  ],
  "own-lens-weak": [
    "El objetivo se calculó con las propias fotos del trabajo y queda poco seguro (distancia focal dentro del {sure:pct2}, 95\u00a0%). Supone el {share:pct0} de la varianza de: {check:word}.",
    "Fotografíe una vez la hoja de cámara: los trabajos siguientes con este teléfono serán más seguros.",
  ],
} as const satisfies Readonly<Partial<Record<RemarkCode, RemarkPair>>>;
