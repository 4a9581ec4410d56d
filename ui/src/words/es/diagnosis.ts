// Palabras del buscador de fallas: de cada señal, qué mirar, cómo, y qué es así o no.

import type { Catalogue } from "../catalogue";

const signs: Catalogue["diagnosis"]["signs"] = {
  outlet_equals_inlet: {
    ask: "¿La salida marca lo mismo que la entrada?",
    how: "Lea los dos manómetros, uno justo después del otro.",
    so: "Salida igual a entrada", not: "Salida y entrada difieren",
  },
  stem_open: {
    ask: "¿Está el vástago separado de su asiento?",
    how: "Mire el indicador de posición. Puede estar trabado: no prueba flujo.",
    so: "Vástago abierto", not: "Vástago en su asiento",
  },
  inlet_swings: {
    ask: "¿Oscila también la entrada?",
    how: "Observe el manómetro de entrada durante varias oscilaciones.",
    so: "La entrada también oscila", not: "La entrada está estable",
  },
  both_valves_swing: {
    ask: "¿Oscila también otra válvula de la estación?",
    how: "Observe los vástagos y manómetros de ambas válvulas.",
    so: "Oscilan las dos válvulas", not: "Solo oscila esta válvula",
  },
  setting_above_inlet: {
    ask: "¿Está ajustada por encima de la presión de entrada?",
    how: "Compare el último ajuste conocido con el manómetro de entrada.",
    so: "Ajustada sobre la entrada", not: "Ajustada bajo la entrada",
  },
  gauge_line_blocked: {
    ask: "¿Está cerrada la llave del manómetro, o tapado su amortiguador o su línea?",
    how: "Abra la llave del manómetro. Ventéelo un poco: debe bajar y volver.",
    so: "Llave cerrada o línea tapada", not: "Manómetro y línea libres",
  },
  bypass_open_or_passing: {
    ask: "¿Está abierta la derivación, o deja pasar?",
    how: "Mire su volante, compare las vueltas contadas con las esperadas, escuche.",
    so: "Derivación abierta o pasando", not: "Derivación cerrada y estanca",
  },
  flow_proven: {
    ask: "¿Está probado que corre agua por la válvula?",
    how: "Un medidor, un pitot, agua que se ve salir, o una salida que baja al girar hacia abajo. Nada más.",
    so: "Flujo probado", not: "Sin flujo",
  },
  falls_when_tap_opened: {
    ask: "¿Baja la salida al abrir un grifo aguas abajo?",
    how: "Abra un poco un grifo o hidrante aguas abajo y observe la salida.",
    so: "La salida baja al abrir un grifo", not: "La salida no baja al abrir un grifo",
  },
  cover_follows_screw: {
    ask: "¿Cambia la presión de la cámara al girar el tornillo?",
    how: "Lea la cámara, haga el giro previsto, espere, lea la cámara otra vez.",
    so: "La cámara sigue al tornillo", not: "La cámara no sigue al tornillo",
  },
  supply_at_cover: {
    ask: "¿Llega presión a la cámara?",
    how: "Llaves de entrada y de cámara abiertas. Lea el manómetro de la cámara.",
    so: "Llega presión a la cámara", not: "No llega presión a la cámara",
  },
  cover_at_inlet_pressure: {
    ask: "¿Está la cámara a la presión de entrada?",
    how: "Lea cámara y entrada, una justo después de la otra.",
    so: "Cámara a presión de entrada", not: "Cámara bajo la presión de entrada",
  },
  rate_steady: {
    ask: "¿Es igual la razón de un giro a otro?",
    how: "Compare al menos dos giros en el mismo sentido, con agua en movimiento y asentado.",
    so: "Igual razón en cada giro", not: "La razón cambia de un giro a otro",
  },
  only_on_reversal: {
    ask: "¿Falla la razón solo después de cambiar de sentido?",
    how: "Compare el primer giro tras el cambio con el siguiente en el mismo sentido.",
    so: "Solo al cambiar de sentido", not: "En ambos sentidos",
  },
  shrinks_toward_inlet: {
    ask: "¿Hace menos cada giro cuanto más se acerca la salida a la entrada?",
    how: "Compare giros en lo bajo con giros cerca de la presión de entrada.",
    so: "La respuesta mengua hacia la entrada", not: "La respuesta no mengua",
  },
  only_below_some_flow: {
    ask: "¿Oscila solo con poco flujo?",
    how: "Deje correr más agua, de a poco, y observe.",
    so: "Oscila solo bajo cierto flujo", not: "Oscila también con más flujo",
  },
  follows_temperature: {
    ask: "¿Sigue la subida a la temperatura?",
    how: "Sol en el tubo, agua quieta: el calor solo da unos 25 psi por grado F. Dé sombra, espere, lea otra vez.",
    so: "La subida sigue a la temperatura", not: "La subida no sigue a la temperatura",
  },
  stops_after_bleeding: {
    ask: "¿Cesa después de purgar el aire?",
    how: "Purgue despacio en cada punto alto hasta agua sólida. Un venteo de cámara muy abierto abre la válvula.",
    so: "Cesa después de purgar", not: "Sigue después de purgar",
  },
  stops_when_slowed: {
    ask: "¿Cesa al cerrar un poco un control de velocidad?",
    how: "Un octavo de vuelta, y cuéntelo. Nunca cierre del todo un control de cierre.",
    so: "Cesa al frenarla", not: "Sigue al frenarla",
  },
  other_feeds_proven_shut: {
    ask: "¿Está probado que la derivación y toda otra alimentación están cerradas?",
    how: "Pruebe cada una antes de culpar al asiento principal.",
    so: "Otras alimentaciones probadas cerradas", not: "Otra alimentación abierta o pasando",
  },
  stops_with_pilot_isolated: {
    ask: "¿Cesa la subida con el piloto aislado y la cámara presurizada?",
    how: "Primero cierre el bloqueo de aguas abajo: entretanto la válvula no regula. Vigile el carrete.",
    so: "Cesa con el piloto aislado", not: "Sigue con el piloto aislado",
  },
  opens_when_cover_vented: {
    ask: "¿Abre al ventear la cámara?",
    how: "Primero cierre el bloqueo de aguas abajo. Luego ventee despacio y mire el vástago; vigile el carrete contra el límite de la zona.",
    so: "Abre al ventear la cámara", not: "No abre al ventear la cámara",
  },
  vent_runs_with_cover_cock_shut: {
    ask: "¿Sigue corriendo el venteo con la llave de cámara cerrada?",
    how: "Bloqueo de aguas abajo cerrado Y llave de cámara cerrada, luego ventee. Con la llave abierta corre también en salud y no dice nada.",
    so: "Venteo corre con la llave cerrada", not: "Venteo se seca con la llave cerrada",
  },
};

const cause: Catalogue["diagnosis"]["cause"] = {
  no_flow_or_held_open: { name: "Sin flujo, o la válvula está retenida abierta", next: "Primero halle flujo. Antes no gire nada." },
  dead_end: { name: "Sin flujo: extremo muerto", next: "Abra un grifo o hidrante aguas abajo, pruebe flujo, luego ajuste." },
  main_valve_bound: { name: "Válvula principal trabada, o con suciedad", next: "Aísle y ventee antes de abrirla." },
  control_blocked: { name: "Piloto, filtro o restricción tapados, o una llave cerrada", next: "Mire cada llave, luego el filtro, luego la restricción." },
  other_spring: { name: "Otro resorte que el registrado", next: "Lea la marca del resorte; corrija los datos." },
  dead_band: { name: "Fricción: banda muerta al cambiar de sentido", next: "Llegue al valor desde un solo lado." },
  starved: { name: "Hambrienta: la entrada es muy baja", next: "Girar más no trae nada. Suba la entrada o pida menos." },
  air: { name: "Aire en el circuito de control", next: "Purgue hasta agua sólida, y de nuevo tras cada apertura." },
  too_fast: { name: "Responde demasiado rápido", next: "Deje el control donde cesó; anote las vueltas." },
  oversized: { name: "Sobredimensionada para ese flujo", next: "Use o agregue una válvula de bajo flujo." },
  set_points_too_close: { name: "Ajustes de dos válvulas muy próximos", next: "Sepárelos: lo usual, 5 psi o más." },
  upstream: { name: "La causa está aguas arriba", next: "Mire lo que alimenta la estación." },
  diaphragm_or_stem_seal: { name: "Fuga de diafragma o sello del vástago", next: "Solo ayuda una válvula de bloqueo. Aísle; juego de reparación." },
  supply_blocked: { name: "No llega suministro a la cámara", next: "Llave de entrada, llave de cámara, filtro, restricción." },
  debris_or_stem_bound: { name: "Suciedad en el asiento, o vástago trabado", next: "Lave ejercitándola; si no, aísle, ventee y ábrala." },
  pilot_shut_or_drain_blocked: { name: "Piloto cerrado, o su drenaje tapado", next: "Primero la llave de salida, luego el piloto." },
  bound_or_no_differential: { name: "Válvula trabada, o sin diferencial", next: "Compare entrada y salida; si hay diferencial, está trabada." },
  bypass: { name: "Derivación abierta o pasando", next: "Ciérrela y pruebe que es estanca." },
  setting_above_inlet: { name: "Ajustada sobre la presión de entrada", next: "Baje el ajuste, con agua en movimiento." },
  warming: { name: "El agua atrapada se calienta", next: "No es fuga. Dé sombra o deje asentar, y pruebe otra vez." },
  pilot_seat: { name: "Fuga en el asiento del piloto", next: "Limpie o cambie el asiento del piloto." },
  bypass_or_other_feed: { name: "Derivación, u otra alimentación", next: "Pruebe que están cerradas antes de culpar al asiento principal." },
  main_seat: { name: "Fuga en el asiento principal", next: "Aísle, ventee, mire asiento y disco." },
  gauge_line: { name: "El manómetro, no la válvula", next: "Abra su llave, limpie amortiguador o línea, o ponga otro." },
};

const sign = Object.fromEntries(Object.entries(signs).map(([key, words]) => [key, words.so])) as Catalogue["codes"]["sign"];

export const diagnosis: Catalogue["diagnosis"] = {
  why: "¿Por qué no responde?",
  what: "¿Qué anda mal?",
  onRecord: "el registro lo muestra",
  other: "Otra cosa",
  next: "Mire esto ahora",
  nothingNext: "Nada más de la lista las distinguiría.",
  nothingFits: "Nada de la lista encaja",
  nothingFitsNext: "Es otra cosa, o algo se vio mal. Mire de nuevo lo que se vio.",
  causes: "Qué puede estar detrás",
  seen: "Lo que se vio",
  nothingSeen: "Nada aún. Lo que no se miró no cuenta como un no.",
  fromRecord: "del registro",
  speaksFor: "A favor",
  speaksAgainst: "En contra",
  otherwise: "Decir lo contrario",
  ruledOut: (n) => `Descartadas: ${n}`,
  advice: "Práctica común. Deciden el manual de la válvula y las personas con licencia.",
  notReducing: "Esta lista es para válvulas que reducen. Para esta es solo una pista.",
  signs, cause,
  symptom: {
    does_not_follow: "La salida no sigue al tornillo",
    rate_off: "Un giro hace mucho más o menos que lo impreso",
    hunting: "Oscila: la presión sube y baja",
    stays_open: "Se queda abierta",
    stays_closed: "Se queda cerrada",
    outlet_equals_inlet_at_no_flow: "Salida igual a entrada, sin flujo",
    creep: "La presión trepa sin flujo",
    gauge_does_not_move: "Un manómetro no se mueve nada",
  },
  standing: { found: "Hallada", fits: "Encaja", possible: "Posible", ruled_out: "Descartada" },
};

export const diagnosisCodes: Pick<Catalogue["codes"], "sign"> = { sign };
