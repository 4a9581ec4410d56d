// Palabras de las comprobaciones antes del trabajo.

import type { Catalogue } from "../catalogue";

const check: Catalogue["checks"]["check"] = {
  spring_range: "Dentro del rango del resorte",
  min_differential: "Suficiente presión de entrada",
  choked_flow: "Flujo sin estrangular",
  cavitation: "Cavitación",
  velocity: "Velocidad con caudal máximo",
  opening_at_peak: "Apertura con caudal máximo",
  opening_at_least: "Apertura con caudal mínimo",
  least_flow: "Caudal mínimo de la válvula",
  highest_customer: "Cliente más alto",
  lowest_customer: "Cliente más bajo",
  building_static: "Presión estática en edificios",
  zone_limit: "Por debajo del límite de la zona",
  relief_margin: "Alivio por encima del ajuste",
  stagger: "La de bajo caudal sobre la grande",
  stagger_tolerance: "Tolerancia en un escalón",
  gauge_range: "Escala del manómetro",
  flow_test: "Prueba de caudal en hidrante",
};

const figureName: Catalogue["checks"]["figureName"] = {
  target: "se pide",
  spring_low: "ajuste mínimo",
  spring_high: "ajuste máximo",
  inside_from: "bien dentro desde",
  inside_to: "hasta",
  inlet_low: "entrada mínima",
  inlet_high: "entrada máxima",
  inlet_read: "entrada leída",
  min_differential: "diferencial mínimo",
  drop: "caída",
  choked_drop: "se estrangula con una caída de",
  recovery: "FL",
  sigma: "sigma",
  sigma_limit: "sigma mínimo del manual",
  pressure_ratio: "entrada sobre salida, absolutas",
  size: "tamaño",
  flow_low: "caudal mínimo",
  flow_peak: "caudal máximo",
  min_flow: "mínimo del manual",
  velocity: "velocidad",
  coefficient: "toda abierta",
  needed_coefficient: "necesita",
  share: "parte de toda abierta",
  datum_elevation: "se pide en la cota",
  customer_elevation: "cliente en la cota",
  customer_pressure: "presión allí",
  zone_limit: "límite de la zona",
  beside: "ajuste de al lado",
  apart: "separación",
  tolerance: "más o menos",
  span: "fondo de escala",
  expected: "marcará",
  share_of_span: "parte de la escala",
  test_flow: "caudal de prueba",
  test_static: "estática",
  test_residual: "residual",
  keep: "presión por mantener",
  available: "disponible allí",
};

const checkNote: Catalogue["checks"]["note"] = {
  sigma_by_inlet: "Sigma es (P1 − Pv)/(P1 − P2), absolutas, agua a 15 °C. Un límite impreso para (P2 − Pv)/(P1 − P2) es 1 menos.",
  by_ratio_only: "El límite de sigma de la válvula no está anotado: solo se miró la razón de presiones.",
  inlet_as_read: "La entrada es la última lectura; el extremo del día no está anotado.",
  nominal_bore: "Se tomó el tamaño nominal como paso.",
  share_of_coefficient: "Parte del coeficiente de caudal, no de la carrera.",
  still_water: "Agua quieta: con mucho caudal la fricción quita más.",
  keep_valved_off: "La entrada pasa de su escala: déjelo aislado hasta comprobar la válvula.",
  not_behind_regulating_valve: "La ley de exponente 0.54 no vale aguas abajo de una válvula reguladora.",
  small_drop: "La prueba bajó menos de un cuarto de la estática: no se fíe mucho.",
  no_sense: "Estas cifras no tienen sentido juntas.",
};

const citation: Catalogue["checks"]["citation"] = {
  ten_states: "Ten States Standards 8.2.1 (sección de memoria)",
  plumbing_codes: "IPC 604.8, UPC 608.2 (secciones de memoria)",
  iec60534: "IEC 60534-2-1 / ISA-75.01.01",
  isa_rp7523: "índice según ISA-RP75.23",
  nfpa291: "NFPA 291",
};

const ruleKind: Catalogue["checks"]["ruleKind"] = {
  code: "Código",
  standard: "Norma publicada",
  common_practice: "Práctica común, sin fuente",
  manual: "Placa o manual de la válvula",
};

const limitName: Catalogue["codes"]["limitName"] = {
  limit_spring_margin: "Lejos de los extremos del resorte",
  limit_pressure_ratio: "Entrada sobre salida: mirar desde",
  limit_velocity: "Velocidad máxima",
  limit_share_at_peak: "Apertura máxima",
  limit_share_at_least: "Apertura mínima",
  limit_ground_low: "A nivel de suelo, mínimo",
  limit_normal_low: "Normal, mínimo",
  limit_normal_high: "Normal, máximo",
  limit_building_static: "En edificios, máximo",
  limit_relief_margin: "Alivio por encima, mínimo",
  limit_stagger: "Separación mínima",
  limit_stagger_most: "Separación máxima",
  limit_stagger_tolerance: "Tolerancia máxima",
  limit_gauge_low: "Marca desde",
  limit_gauge_high: "Marca hasta",
};

const notKnownBecause: Catalogue["checks"]["because"] = {
  not_said: "no se sabe",
  disagreed: "hay dos cifras",
  no_figure: "lo anotado no es una cifra que sirva",
};

const toldForChecks: Catalogue["codes"]["toldForChecks"] = {
  request: "Presión pedida",
  request_beside: "Pedido de la válvula de al lado",
  zone_limit: "Límite de la zona",
  tolerance: "Tolerancia",
  gauge: "Manómetro",
  inlet_low: "Entrada, mínima del día",
  inlet_high: "Entrada, máxima del día",
  flow_low: "Caudal mínimo de la zona",
  flow_peak: "Caudal máximo de la zona",
  coefficient: "Coeficiente de caudal, abierta",
  recovery: "Factor de recuperación FL",
  sigma_limit: "Sigma mínimo (P1 − Pv)/(P1 − P2)",
  datum_elevation: "Cota a la que vale el pedido",
  lowest_customer: "Cota del cliente más bajo",
  highest_customer: "Cota del cliente más alto",
  relief_opens_at: "El alivio abre a",
  highest_reducing: "Ajuste reductor más alto",
  other_set_point: "Ajuste de la otra válvula",
  test_side: "Prueba de caudal hecha",
  test_flow: "Caudal de la prueba",
  test_static: "Presión estática de la prueba",
  test_residual: "Presión residual de la prueba",
};

export const checkCodes = { limitName, toldForChecks };

export const checks: Catalogue["checks"] = {
  instead: (figure) => `en lugar de ${figure}`,
  changed: "cambiado por el dueño",
  limitsDisagree: "hay dos cifras del dueño: vale la general",
  cannotSay: "Aún no se puede decir",
  cannotSayHint: "Lo que falta para estas comprobaciones. Anote lo que tenga; lo demás queda abierto.",
  keyIn: (name) => `Anotar: ${name}`,
  forChecks: (known, all) => `Datos para las comprobaciones: ${known} de ${all} conocidos`,
  limits: (changed) => (changed === 0 ? "Límites de las comprobaciones" : `Límites de las comprobaciones: ${changed} cambiados`),
  limitsHint: "Valores generales. El dueño puede fijar otros; el cambio queda anotado y se ve junto al general.",
  byDefault: "general",
  advises: "La herramienta aconseja. Deciden el manual de la válvula, las normas locales y quien tiene licencia.",
  check,
  figureName,
  note: checkNote,
  citation,
  ruleKind,
  because: notKnownBecause,
};
