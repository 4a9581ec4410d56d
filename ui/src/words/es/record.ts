// Lo que cubre una firma, y los archivos que se entregan.

import type { Catalogue } from "../catalogue";

export const record: Catalogue["record"] = {
  what: "Esto es lo que firma",
  reading: "Leyendo el registro…",
  revision: (n) => `Revisión ${n}`,
  asked: "Solicitado",
  asFound: "Como se encontró",
  asLeft: "Como queda",
  none: "nada anotado",
  verdicts: { within: "Dentro de la tolerancia", outside: "Fuera de la tolerancia", cannot_tell: "Demasiado cerca del límite para que este manómetro lo distinga" },
  moves: (n) => (n === 1 ? "1 giro del tornillo" : `${n} giros del tornillo`),
  notNormal: "No como en servicio normal",
  nobodyKnows: "nadie dijo cómo está",
  overridden: "Marcado sin algo que necesita",
  notDone: "No hecho",
  cautions: "Para quien se fíe del ajuste",
  settled: "En qué no hubo acuerdo, y por qué es así",
  every: (n) => `Todas las anotaciones (${n})`,
  handOver: "Entregar",
  handOverHint: "El último registro firmado, o el trabajo como está si nadie ha firmado.",
  saveJson: "Guardar todo (JSON)",
  saveCsv: "Guardar como tabla (CSV)",
  sendJson: "Enviar todo (JSON)",
  sendCsv: "Enviar como tabla (CSV)",
  saved: (name) => `Guardado como ${name}`,
  otherMissing: "De todo el trabajo",
  key: "La clave con que firma esta tableta",
  keyHint: "La oficina responde por ella cuando alguien allí la ha comparado con esta pantalla.",
};
