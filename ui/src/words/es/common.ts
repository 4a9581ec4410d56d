// Palabras de todas las pantallas.

import type { Catalogue } from "../catalogue";

export const common: Catalogue["common"] = {
  product: "Turnwise",
  save: "Guardar",
  cancel: "Cancelar",
  close: "Cerrar",
  back: "Atrás",
  change: "Cambiar",
  yes: "Sí",
  no: "No",
  none: "Ninguno",
  notKnown: "No se sabe",
  notSaid: "Nadie lo ha dicho",
  saved: "Guardado en esta tableta",
  loading: "Buscando",
  reason: "Por qué",
  reasonHint: "Qué se miró, a quién se preguntó. Queda en el registro.",
  optional: "si se sabe",
  goTo: (screen) => `Ir a ${screen}`,
  by: (who) => `por ${who}`,
  keyedBy: (who, keyed) => `dicho por ${who}, tecleado por ${keyed}`,
  count: (n) => (n === 1 ? "1 anotación" : `${n} anotaciones`),
};

export const trouble: Catalogue["trouble"] = {
  title: "No se pudo",
  safe: "No se guardó nada de esto. Lo guardado antes está a salvo, y lo que escribió sigue aquí.",
  next: "Revíselo y pulse otra vez.",
  noAnswer: "El programa de esta tableta no contesta.",
  noAnswerSafe: "Lo guardado está a salvo. Lo que escribió sigue aquí. No se sabe si lo último que pulsó se guardó.",
  noAnswerNext: "Espere un momento y mire Lecturas antes de pulsar otra vez. Si sigue así, vuelva a iniciar el programa.",
  noToken: "Esta página se abrió sin su clave de inicio.",
  noTokenNext: "Abra la dirección completa que se mostró al iniciar el programa.",
  technical: (code) => `Código: ${code}`,
};

export const lid: Catalogue["lid"] = {
  jobs: "Todos los trabajos",
  iAm: (name) => `Soy ${name}`,
  callsKeys: (caller, me) => `Dicta ${caller}, teclea ${me}`,
  chooseCaller: "¿De quién es lo que se anota?",
  callerHint: "Usted teclea. Elija quién lo vio o lo hizo. Queda así hasta que lo cambie.",
  mine: (name) => `Mío (${name})`,
  calledBy: (name) => `Dicho por ${name}`,
  onlyHere: (n) => `${n} solo aquí`,
  allSafe: "Todo en la oficina",
  withMate: (n) => `${n} con un compañero`,
  linked: (names) => `Enlace: ${names}`,
  notLinked: "Sin enlace",
  linkOff: "Enlace apagado",
  where: "¿Dónde están mis lecturas?",
  whereHint: "Las anotaciones pasan solas al compañero y a la oficina en cuanto hay enlace.",
  onlyHereLong: "Solo en esta tableta",
  withMateLong: "También con un compañero",
  atOfficeLong: "En la oficina",
  light: "Luz",
  mate: "Compañero",
  changeValve: "Válvula en mano",
  screens: "Pantallas del trabajo",
};

export const alarm: Catalogue["alarm"] = {
  title: "Alto. La zona pasó su límite.",
  says: (place, figure, limit) => `${place} marca ${figure}. El límite es ${limit}.`,
  voice: "Avise de viva voz a su compañero, ya.",
  card: "Tarjeta de emergencia",
};

export const changed: Catalogue["changed"] = {
  title: "El pedido cambió después de ajustar la válvula",
  says: (was, now) => `Ajustada a ${was}. Ahora se pide ${now}.`,
  next: "Ajústela al nuevo pedido, o resuélvalo en Cierre con un motivo.",
};

export const runaway: Catalogue["runaway"] = {
  open: "Se dispara",
  title: "Si sube la salida",
  hint: "En este orden. Primero la voz: avise a su compañero antes de tocar nada.",
  empty: "Este procedimiento no trae tarjeta. Cierre la válvula de corte aguas abajo y después la de aguas arriba.",
};

export const putBack: Catalogue["putBack"] = {
  open: "Volver",
  title: "De vuelta a como se encontró",
  nothing: "Todo lo anotado está como se encontró.",
  screws: "Tornillos",
  positions: "Llaves y válvulas de corte",
  controls: "Controles de velocidad",
  wasNow: (found, now) => `Se encontró ${found}, ahora ${now}`,
};

export const readBack: Catalogue["readBack"] = {
  title: "Repítalo en voz alta",
  hint: (name) => `Dígalo en voz alta. Guarde cuando ${name} conteste que sí.`,
  who: (caller, me) => `Dicho por ${caller}, tecleado por ${me}`,
  confirm: "Sí, guardar",
  wrong: "No, cambiar",
};

export const tablet: Catalogue["tablet"] = {
  title: "Esta tableta",
  language: "Idioma",
  light: "Luz",
  lights: { system: "Como el sistema", sun: "Sol", vault: "Cámara" },
  turns: "Las vueltas se dicen en",
  turnWords: { fraction: "Fracciones", degrees: "Grados", flats: "Caras" },
  me: "Quién la usa",
};
