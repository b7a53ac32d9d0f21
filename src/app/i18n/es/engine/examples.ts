/** Los textos libres de las hojas de ejemplo, por su texto inglés; una prueba exige que estén todos. */
const texts: Readonly<Record<string, string>> = {
  "Example 1: board for a forward camera": "Ejemplo 1: tablero para una cámara delantera",
  "Example 2: reflector plate for a front radar":
    "Ejemplo 2: placa reflectora para un radar delantero",
  "Example 3: corner reflectors behind the car":
    "Ejemplo 3: reflectores de esquina detrás del coche",
  "Example 4: mats around the car": "Ejemplo 4: lonas alrededor del coche",
  "Example 5: crossbar squared by diagonals": "Ejemplo 5: travesaño escuadrado por diagonales",
  "Invented hatchback": "Compacto inventado",
  "Invented estate car": "Familiar inventado",
  "Invented van": "Furgoneta inventada",
  "Invented saloon": "Berlina inventada",
  "Invented pick-up": "Camioneta inventada",
  "Invented for practice; never use these numbers on a car.":
    "Inventado para practicar; no use nunca estos números en un coche.",
  "Board square to the car": "Tablero a escuadra con el coche",
  "Reflector plate": "Placa reflectora",
  "Reflector behind on the left": "Reflector detrás a la izquierda",
  "Reflector behind on the right": "Reflector detrás a la derecha",
  "Mat ahead": "Lona delante",
  "Mat behind": "Lona detrás",
  "Mat on the left": "Lona a la izquierda",
  "Mat on the right": "Lona a la derecha",
  Crossbar: "Travesaño",
  "camera board": "tablero de cámara",
  "reflector plate": "placa reflectora",
  "corner reflector left": "reflector izquierdo",
  "corner reflector right": "reflector derecho",
  "mat ahead": "lona delante",
  "mat behind": "lona detrás",
  "mat left": "lona izquierda",
  "mat right": "lona derecha",
  crossbar: "travesaño",
  "Demonstration: camera board ahead of an invented hatchback":
    "Demostración: tablero de cámara delante de un compacto inventado",
  "Invented car, bay, phone, readings and placement. Never use these numbers on a car.":
    "Coche, puesto, teléfono, lecturas y colocación inventados. No use nunca estos números en un coche.",
  "Invented example: camera board ahead": "Ejemplo inventado: tablero de cámara delante",
  "Camera board ahead of the car": "Tablero de cámara delante del coche",
  "invented hatchback": "compacto inventado",
  "invented for the demonstration; stands for a page of the vehicle maker's procedure":
    "inventado para la demostración; hace de página del procedimiento del fabricante",
  "laser, centre to centre": "láser, de centro a centro",
  "left foot": "pata izquierda",
  "right foot": "pata derecha",
  "far foot": "pata del fondo",
  upright: "vertical",
  "face up 2 degrees": "cara 2 grados arriba",
  "face down 2 degrees": "cara 2 grados abajo",
  "Tilt the plate only when the scan tool asks for it; shoot the stand after each tilt.":
    "Incline la placa solo cuando lo pida el equipo de diagnosis; fotografíe el soporte tras cada inclinación.",
};

/** Undefined where there is no Spanish for it. */
export const exampleEs = (english: string): string | undefined => {
  const place = /^invented example(?: (\d))?, (line|tilt|page) (\d+)$/i.exec(english);
  if (!place) {
    return texts[english];
  }
  const [, number, what, at] = place;
  const words = { line: "línea", tilt: "inclinación", page: "página" } as const;
  return `ejemplo inventado${number ? ` ${number}` : ""}, ${words[what as keyof typeof words]} ${at}`;
};
