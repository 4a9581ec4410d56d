// Palabras para lo que dan las lecturas.

import type { Catalogue } from "../catalogue";

export const findings: Catalogue["findings"] = {
  tab: "¿Bien?",
  asLeftTitle: "¿Está bien?",
  asLeft: {
    inside: "Dentro", outside: "Fuera", cannot_tell: "Este manómetro no alcanza a decirlo",
    not_read: "Aún sin lectura final", no_target: "Nada con qué comparar",
  },
  creep: { holds: "Se mantiene", climbs: "Trepa", falls: "Cae", one_reading: "Leída una sola vez" },
  pair: { agrees: "Misma cifra", only_seems_to_differ: "Solo parece diferir", differs: "Difieren" },
  steady: {
    steady: "Asentada", settling: "Asentándose", drifting: "A la deriva", hunting: "Oscila", too_short: "Muy pocas para decir",
  },
  asked: "Pedido",
  read: "Leído",
  off: "Desvío",
  give: "Tolerancia",
  sure: (figure) => `± ${figure}`,
  assumed: "manómetro supuesto",
  on: (gauge) => `en ${gauge}`,
  droop: "Caída con el flujo",
  droopFrom: "Salida, de poco a mucho flujo",
  flow: "Flujo", outlet: "Salida", cover: "Cámara", stem: "Vástago",
  lockUp: "Cierre sin flujo",
  aboveFlowing: "Sobre la de flujo",
  change: "Cambio",
  minutes: (n) => `en ${n} min`,
  warming: (degrees) => `Tanto como haría un calentamiento de ${degrees} °F`,
  repeatability: "Vuelve a",
  spread: "Dispersión",
  staticDifference: "En línea menos estático",
  pairs: "Dos manómetros o dos personas",
  noPairs: "No hay dos lecturas de un punto tan próximas que se comparen.",
  none: "Aún sin leer",
  apart: (minutes) => `con ${minutes} min de diferencia`,
  together: "al mismo tiempo",
  period: (seconds, amplitude) => `cada ${seconds} s, ${amplitude} a cada lado`,
  why: "¿Por qué no responde?",
};

export const findingsCodes: Pick<Catalogue["codes"], "because"> = {
  because: {
    no_request: "Nadie ha pedido una presión.",
    request_disagreed: "Hay dos pedidos. Resuélvalo primero.",
    no_as_left: "Lea la salida final, con agua en movimiento.",
    older_than_turn: "La lectura final es anterior al último giro.",
    another_request: "La lectura final era para otro pedido.",
    without_flow: "Leída sin mostrar que corre agua.",
    gauge_unknown: "El manómetro no está registrado: se supuso uno.",
    default_tolerance: "Tolerancia por la regla general.",
    no_droop_told: "Menos de lo que el manómetro alcanza a decir.",
    rises: "Sube con el flujo: mire el manómetro y su toma.",
    fewer_than_three_flows: "Menos de tres flujos.",
    fewer_than_three_cycles: "Menos de tres ciclos.",
    spread_not_told: "Menos de lo que el manómetro alcanza a decir.",
    warming_possible: "El agua atrapada puede estar calentándose.",
    cooling_possible: "Puede estar enfriándose, o escapando.",
    once_only: "Léala otra vez tras unos minutos.",
  },
};
