// Palabras de visitas anteriores, de archivos de procedimiento y de estaciones con varias válvulas.

import type { Drifted } from "../../generated/Drifted";
import type { RateChanged } from "../../generated/RateChanged";
import type * as en from "../en/station";

const drifted: Record<Drifted, string> = {
  stood: "Se mantuvo",
  drifted: "Se corrió",
  not_flowing: "Leída sin caudal: no muestra el ajuste",
};

const rateChanged: Record<RateChanged, string> = {
  not_yet: "Aún no se aprendió nada en esta visita",
  same: "Igual, dentro de un quinto",
  changed: "Cambió: otro resorte, roce, o válvula sin presión",
};

export const past: typeof en.past = {
  title: "Visitas anteriores",
  first: "Primera visita registrada",
  firstNext: "No hay con qué comparar. Lo que deje hoy es de donde parte la próxima visita.",
  drift: "Desde la última visita",
  left: "Como quedó",
  found: "Como se encontró",
  change: "Cambio",
  allowed: (figure: string) => `hasta ${figure} no es corrimiento`,
  drifted,
  rate: "Razón del tornillo",
  then: "Antes",
  now: "Ahora",
  rateChanged,
  predicted: "En línea debería leerse",
  predictedFrom: (setting: string, difference: string) => `estático ${setting}, última diferencia ${difference}`,
  requested: "Pedido",
  asFound: "Como se encontró",
  asLeft: "Como quedó",
  learned: "Razón aprendida",
  difference: "En línea menos estático",
  lockUp: "Presión de cierre",
  opening: "Carrera de apertura",
  closing: "Carrera de cierre",
  moves: (n: number) => (n === 1 ? "1 giro del tornillo" : `${n} giros del tornillo`),
  noMoves: "Tornillo sin girar",
  faults: "Se halló mal",
  job: (number: string) => `Trabajo ${number}`,
};

export const files: typeof en.files = {
  title: "Procedimientos",
  own: "Archivo del dueño",
  ownFile: (file: string) => `Archivo del dueño ${file}`,
  fingerprint: "Huella",
  folder: "Carpeta para sus propios archivos",
  refused: "Archivos que no se usan",
  refusedAt: (file: string, line: number) => (line === 0 ? file : `${file}, línea ${line}`),
  none: "Sin archivos propios. Los procedimientos son los del producto.",
  reload: "Leer otra vez la carpeta",
  missing: "Esta tableta no tiene el procedimiento de este trabajo",
  missingNext: "Puede leer el trabajo. No se puede anotar nada hasta que llegue su archivo de quien abrió el trabajo.",
  fault: {
    syntax: "No se puede leer",
    missing_text: "Falta un texto en un idioma",
    duplicate_id: "El mismo id dos veces",
    hard_stop_left_out: "Falta un alto total del procedimiento del producto",
    unknown_step: "Un paso que no existe",
    unknown_answer: "Una respuesta que no existe",
    unknown_element: "Un elemento que no existe",
    unknown_point: "Un punto que no existe",
    unknown_screw: "Un tornillo que no existe",
    unknown_speed_control: "Un control de velocidad que no existe",
    unknown_particular: "Un dato que no existe",
    unknown_phase: "Una fase que no existe",
    unknown_name: "Un nombre que no existe",
    unknown_condition: "Una condición sin sentido",
    not_a_stop: "No es un alto total",
    cycle: "Pasos que se esperan entre sí",
    later_step: "Un paso que espera a uno posterior",
    outside_phase: "Un paso fuera de su fase",
    too_few_answers: "Una pregunta con una sola respuesta",
    too_large: "Demasiado grande",
    not_text: "No es un archivo de texto",
    unreadable: "No se puede leer del disco",
  },
};

export const stations: typeof en.stations = {
  screw: "Tornillo en mano",
  sets: (point: string) => `ajusta ${point}`,
  known: "Una válvula de un trabajo anterior",
  newValve: "Una válvula nueva",
  addValve: "Agregar una válvula de la misma bóveda",
  removeValve: "Quitar esta válvula",
  beside: (n: number) => `Válvula ${n}`,
  drawing: "La estación, como está",
  branch: { main: "Principal", low_flow: "Válvula de bajo caudal", large: "Válvula grande", relief: "Alivio", bypass: "Desvío" },
  inlet: "Entrada",
  zone: "Zona",
  outfall: "Descarga",
  control: "Piloto y cámara",
};
