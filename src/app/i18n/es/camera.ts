import type { cameraTexts as english } from "../en/camera.ts";
import type { Same } from "../same.ts";

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
  "camera.at4m": "Su parte a 4 m (95 %)",
  "camera.made": "Hecho",
  "camera.keep": "Guardar para otros trabajos",
  "camera.kept": "Guardado para otros trabajos",
  "camera.profiles": "Perfiles guardados",
  "camera.noProfiles": "En este dispositivo aún no hay ningún perfil.",
  "camera.unnamed": "Teléfono sin nombre",
  "camera.forget": "Olvidar perfil",

  "guide.first": "Primera foto: la hoja entera, de frente, llenando casi toda la imagen.",
  "guide.slant": "Ahora {count} más en oblicuo: mire la hoja a unos 35 grados, desde otros lados.",
  "guide.topLeftBetter":
    "Es suficiente. Una más con la hoja en la esquina superior izquierda haría más seguro el objetivo ahí.",
  "guide.topLeft": "Siguiente: la hoja en la esquina superior izquierda de la imagen.",
  "guide.topRightBetter":
    "Es suficiente. Una más con la hoja en la esquina superior derecha haría más seguro el objetivo ahí.",
  "guide.topRight": "Siguiente: la hoja en la esquina superior derecha de la imagen.",
  "guide.bottomLeftBetter":
    "Es suficiente. Una más con la hoja en la esquina inferior izquierda haría más seguro el objetivo ahí.",
  "guide.bottomLeft": "Siguiente: la hoja en la esquina inferior izquierda de la imagen.",
  "guide.bottomRightBetter":
    "Es suficiente. Una más con la hoja en la esquina inferior derecha haría más seguro el objetivo ahí.",
  "guide.bottomRight": "Siguiente: la hoja en la esquina inferior derecha de la imagen.",
  "guide.more": "Va bien. {count} más desde otros sitios, algunas con el teléfono girado de lado.",
  "guide.failed": "Las fotos aún no dan un objetivo: vea abajo qué foto está mal.",
  "guide.wait": "Hay suficientes fotos de la hoja; se está calculando el objetivo.",
  "guide.enough": "Hay suficientes fotos de la hoja.",
};
