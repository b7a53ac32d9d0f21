import type { cameraTexts as english } from "../en/camera.ts";
import type { Same } from "../en/same.ts";

export const cameraTexts: Same<typeof english> = {
  "camera.source": "Objetivo de este teléfono",
  "camera.sourceLabel": "De dónde viene el objetivo",
  "camera.fromSheet": "Fotos de la hoja",
  "camera.fromProfile": "Perfil guardado",
  "camera.fromOwn": "Las fotos del trabajo",
  "camera.fromSheetHint":
    "De ocho a catorce fotos de la hoja de cámara: cinco minutos, una vez por teléfono.",
  "camera.fromProfileHint":
    "De un trabajo anterior con el mismo teléfono, objetivo y tamaño de foto.",
  "camera.fromOwnHint": "Posible con muchas placas repartidas por las fotos; cuesta seguridad.",
  "camera.sheetPhotos": "Fotos de la hoja de cámara",
  "camera.sheetHowTo":
    "Ponga la hoja impresa plana o muéstrela en una pantalla plana. El mismo teléfono, el mismo objetivo, sin zoom.",
  "camera.openSheet": "Hoja de cámara (en el juego)",
  "camera.onScreen": "Mostrar la hoja en esta pantalla",
  "camera.coverage": "Dónde se ha visto la hoja dentro de la imagen hasta ahora",
  "camera.lens": "El objetivo",
  "camera.phone": "Teléfono",
  "camera.size": "Tamaño de foto",
  "camera.focal": "Distancia focal",
  "camera.residual": "Residuo",
  "camera.photoCount": "Fotos",
  "camera.at4m": "Su parte a {far} (95\u00a0%)",
  "camera.made": "Hecho",
  "camera.keep": "Guardar para otros trabajos",
  "camera.kept": "Guardado para otros trabajos",
  "camera.profiles": "Perfiles guardados",
  "camera.noProfiles": "En este dispositivo aún no hay ningún perfil.",
  "camera.keptFocal": "distancia focal {focal} px",
  "camera.keptFrom": "del trabajo «{job}»",
  "camera.unnamed": "Teléfono sin nombre",
  "camera.forget": "Olvidar perfil",
  "camera.others": "Otros teléfonos en este trabajo",
  "camera.othersText":
    "Cada teléfono tiene su propio objetivo. Cada foto se mide con el objetivo del teléfono que la hizo; una foto cuyo objetivo no se conoce se deja fuera.",
  "camera.otherLens":
    "Su objetivo está aquí, hecho {when} para {size} px. {count} {count|foto|fotos} del taller con él.",
  "camera.otherLacks":
    "{count} {count|foto vino|fotos vinieron} de otro teléfono, cuyo objetivo no ha llegado.",
  "camera.otherLacksHow":
    "Haga la etapa de cámara en ese teléfono o elija allí su perfil guardado; después replique en los dos. Hasta entonces sus fotos se dejan fuera.",
  "camera.otherKept": "Perfiles guardados de teléfonos que también hicieron fotos de este trabajo",

  "guide.first": "Primera foto: la hoja entera, de frente, en el centro de la imagen.",
  "guide.firstHow":
    "Ponga la hoja plana con luz uniforme. Sujete el teléfono en la misma posición en todas las fotos; gire la hoja en su lugar.",
  "guide.next":
    "Siguiente foto: la hoja en {place} de la imagen, con el borde {edge} más cerca de usted.",
  "guide.nextUpright": "La hoja de pie en la imagen, vista en oblicuo a unos {angle} grados.",
  "guide.nextTurned":
    "La hoja tumbada de lado en la imagen, vista en oblicuo a unos {angle} grados.",
  "guide.check": "Estas fotos juntas no dan un objetivo. Corrija lo que se dice abajo.",
  "guide.good": "Es suficiente: no hacen falta más fotos.",
  "guide.goodCorner": "Es suficiente para el trabajo.",
  "guide.goodCornerHow":
    "Una foto más con la hoja en {corners} de la imagen haría seguro el objetivo también ahí.",
  "guide.enough": "Hay suficientes fotos: más ayudarían poco.",
  "guide.looking": "Mirando las fotos nuevas …",
  "guide.soFar":
    "{examined} de {count} {count|foto examinada|fotos examinadas}; la hoja se ve en {found} hasta ahora.",
  "guide.soFarCorners": "Aún sin ver: {corners} de la imagen.",
  "guide.soFarNeeded": "{count|Hará|Harán} falta al menos {count} {count|foto|fotos} más.",
  "guide.middle": "el centro",
  "guide.top left": "la esquina superior izquierda",
  "guide.top right": "la esquina superior derecha",
  "guide.bottom left": "la esquina inferior izquierda",
  "guide.bottom right": "la esquina inferior derecha",
  "guide.left": "izquierdo",
  "guide.top": "superior",
  "guide.right": "derecho",
  "guide.bottom": "inferior",
  "guide.and": "{first} y {last}",
  "guide.photos": "Fotos que cuentan",
  "guide.photosOf": "{count} de al menos {least}",
  "guide.corners": "Esquinas de la imagen cubiertas",
  "guide.cornersOf": "{count} de 4",
  "guide.reached": "Error del objetivo a {far} (95\u00a0%)",
  "guide.reachedOf": "{value}, meta {limit}",
  "guide.reachedLater": "desde 4 fotos",
  "guide.seen": "Puntos: dónde se ha visto la hoja.",
  "guide.asked": "A trazos: dónde debe estar en la foto siguiente.",
  "guide.near": "Grueso: el borde más cercano a usted.",
};
