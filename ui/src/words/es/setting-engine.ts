// Lo que dice el motor de ajuste.

import type { Catalogue } from "../catalogue";

export const settingEngine: Catalogue["settingEngine"] = {
  between: (low, high) => `entre ${low} y ${high}`,
  short: "Corto a propósito: la razón todavía no es segura.",
  chance: (percent) => `${percent} de 100 de quedar en tolerancia`,
  rateBand: (low, high) => `${low} a ${high}`,
  taught: (turns) => (turns === 1 ? "aprendida de 1 giro" : `aprendida de ${turns} giros`),
  lost: (turns) => `Se pierde al volver: ${turns} de vuelta`,
  rateTitle: "Una vuelta",
  back: (turn) => `De vuelta a como se encontró: ${turn}`,
  readings: (count) => (count === 1 ? "1 lectura desde el giro" : `${count} lecturas desde el giro`),
  perMinute: (slope, unit) => `${slope} ${unit} por minuto`,
  swing: (amplitude, seconds) => `${amplitude} a cada lado, cada ${seconds} s`,
  waitFirst: "Dé tiempo al agua y después lea.",
  waitMore: "Espere y lea otra vez.",
  proveFlow: "Mostrar que el agua se mueve",
  plotLine: "lo que debería marcar, y su banda",
  turnsIn: "Giros en",
  turnsIns: { fraction: "Partes", degrees: "Grados", flats: "Caras" },
  leave: {
    within_tolerance: "Dentro de tolerancia. Déjela.",
    gauge_cannot_tell: "Este manómetro no la distingue de lo pedido. Déjela.",
    finer_than_a_hand: "Más cerca de lo que una mano puede girar. Déjela.",
  },
  settled: {
    steady: "Estable",
    settling: "Todavía en camino",
    drifting: "Se va hacia un lado",
    hunting: "Oscila de un lado a otro",
    too_short: "Lea otra vez para ver que se queda",
  },
  answered: { not_at_all: "sin respuesta", wrong_way: "al revés" },
  unseen: {
    not_read: "no enseña nada: no se leyó antes y después",
    no_flow: "no enseña nada: nadie mostró flujo",
    not_settled: "no enseña nada: no se había asentado",
    other_gauge: "no enseña nada: dos manómetros",
  },
};
