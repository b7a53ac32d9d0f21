/** Las descripciones de los esquemas, por su texto inglés; una prueba exige que no falte ninguna. */
export const hintsEs: Readonly<Record<string, string>> = {
  "true for examples: never use their numbers on a car":
    "Sí en los ejemplos: no use nunca sus números en un coche.",
  "which procedure, which revision, when it was read":
    "Qué procedimiento, qué revisión, cuándo se leyó.",
  "lateral offsets count from the axis or from the point itself":
    "Los desplazamientos laterales se cuentan desde el eje o desde el propio punto.",
  "unique within its step": "No se repite dentro del paso.",
  "as in the target library or the job": "Como en la biblioteca de blancos o en el trabajo.",
  "where the printed or reflecting face looks in the vehicle frame when all is right":
    "Hacia dónde mira, respecto al coche, la cara impresa o reflectora cuando todo está bien.",
  "own words; default from the kind": "Palabras propias; si faltan, las del tipo.",
  "required value, a length or an angle by kind; files hold mm and degrees":
    "Valor pedido, una longitud o un ángulo según el tipo; los archivos llevan mm y grados.",
  "lowest allowed minus required; empty (null) where open":
    "El menor permitido menos el pedido; vacío: abierta.",
  "highest allowed minus required; empty (null) where open":
    "El mayor permitido menos el pedido; vacío: abierta.",
  "where the number came from: document, page, date":
    "De dónde viene el número: documento, página, fecha.",
  "the point; default the target's reference point":
    "El punto; si falta, el punto de referencia del blanco.",
  "the target's reference point": "El punto de referencia del blanco.",
  "name of another step's target; default this step's":
    "Nombre del blanco de otro paso; si falta, el de este.",
  "corner of the face, seen from the front": "Esquina de la cara, vista de frente.",
  "any point of the target, in its own frame":
    "Cualquier punto del blanco, en sus propias coordenadas.",
  "default: the sheet's height reference": "Si falta, la referencia de altura de la hoja.",
  "horizontal distance": "Distancia horizontal.",
  "horizontal angle from straight ahead along the axis, positive to the left":
    "Ángulo horizontal desde el frente según el eje, positivo hacia la izquierda.",
  "first diagonal minus second": "Primera diagonal menos segunda.",
  "angle of the target's upper edge to an axle, in plan":
    "Ángulo del borde superior del blanco respecto a un eje, visto desde arriba.",
  "corner of a mat ahead of the origin": "Esquina de una lona por delante del origen.",
  "corner of a mat left of the axis": "Esquina de una lona a la izquierda del eje.",
  "largest minus smallest rise of the floor boards":
    "Mayor elevación menos la menor entre las placas de suelo.",
  "default: all floor boards": "Si falta, todas las placas de suelo.",
  "rise of the floor from the car to the target, per length, degrees":
    "Subida del suelo desde el coche hasta el blanco, por longitud, en grados.",
  "horizontal gap to the nearest marked obstacle":
    "Separación horizontal hasta el obstáculo marcado más cercano.",
  "required pitch of the reflector plate, degrees":
    "Inclinación pedida de la placa reflectora, en grados.",
  "how the shop calls this set of plates; an acceptance test holds for one":
    "Nombre que el taller da a este juego de placas; una prueba de aceptación vale para un juego.",
  "board face out from the wheel plane": "Cara de la placa, hacia fuera del plano de la rueda.",
  "as the placement sheet calls it, or a wheel's place":
    "Como lo llama la hoja de colocación, o el lugar de una rueda.",
  "decide by guard bands of this many standard uncertainties (ISO 14253-1)":
    "Decidir con bandas de guarda de tantas incertidumbres típicas (ISO 14253-1).",
};
