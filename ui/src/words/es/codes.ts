// Palabras para los códigos: los de los tipos generados completos por su tipo, los demás están en `known.ts`.

import type { Agreement } from "../../generated/Agreement";
import type { Body } from "../../generated/Body";
import type { Duty } from "../../generated/Duty";
import type { ElementClass } from "../../generated/ElementClass";
import type { FlowProof } from "../../generated/FlowProof";
import type { JobStatus } from "../../generated/JobStatus";
import type { Level } from "../../generated/Level";
import type { Position } from "../../generated/Position";
import type { Purpose } from "../../generated/Purpose";
import type { Role } from "../../generated/Role";
import type { Safe } from "../../generated/Safe";
import type { StepStatus } from "../../generated/StepStatus";
import type { Unit } from "../../generated/Unit";
import type { Verdict } from "../../generated/Verdict";
import type { Water } from "../../generated/Water";

type Words<K extends string> = Record<K, string>;

export const unit: Words<Unit> = {
  psi: "psi", kPa: "kPa", bar: "bar", MPa: "MPa", Pa: "Pa", GPa: "GPa", "m H2O": "m H₂O", "ft H2O": "ft H₂O",
  atm: "atm", "kgf/cm2": "kgf/cm²", "psi/turn": "psi/vuelta", "kPa/turn": "kPa/vuelta", "bar/turn": "bar/vuelta",
  gpm: "gpm", "L/s": "L/s", "m3/h": "m³/h", cfs: "cfs", turn: "vuelta", deg: "°", flat: "cara", in: "in", mm: "mm",
  m: "m", ft: "ft", "ft/s": "ft/s", "m/s": "m/s", "kg/m3": "kg/m³", degC: "°C", degF: "°F", s: "s", min: "min",
  Cv: "Cv", Kv: "Kv", "%": "%", "% LFL": "% LII", ppm: "ppm", thread: "hilos", ratio: "razón",
};

export const position: Words<Position> = { open: "Abierta", shut: "Cerrada", throttled: "A medias" };
export const purpose: Words<Purpose> = {
  as_found: "Como se encontró", working: "De trabajo", static_setting: "Estático", baseline: "De referencia",
  lock_up: "Sin caudal", as_left: "Como queda",
};
export const water: Words<Water> = { flowing: "En movimiento", still: "Quieta", unknown: "No se sabe" };
export const duty: Words<Duty> = {
  wrench_hand: "Mano de llave", topside_hand: "Mano de arriba", attendant: "Vigía",
  entry_supervisor: "Supervisor de entrada",
};
export const role: Words<Role> = { lead_tech: "Técnico responsable", technician: "Técnico", reader: "Solo lee" };
export const level: Words<Level> = { top: "Bajo la tapa", middle: "A media altura", bottom: "En el piso" };
export const safe: Words<Safe> = {
  only_here: "solo en esta tableta", with_mate: "con un compañero", at_office: "en la oficina",
};
export const agreement: Words<Agreement> = {
  never: "Nadie lo ha dicho", unknown: "Retirado: no se sabe nada", agreed: "De acuerdo", disagreed: "Desacuerdo",
};
export const flowProof: Words<FlowProof> = {
  meter: "Un medidor corre", pitot: "Un pitot marca", visible_discharge: "Se ve salir el agua",
  outlet_fell_on_downward_move: "La salida bajó al girar hacia abajo", stopped: "El agua se detuvo",
};
export const jobStatus: Words<JobStatus> = {
  new: "Nuevo", in_work: "En trabajo", signed: "Firmado", re_opened: "Abierto otra vez",
  waiting: "Espera su primera anotación",
};
export const stepStatus: Words<StepStatus> = {
  done: "Hecho", overridden: "Hecho, pasando por alto", not_done: "No hecho", disagreed: "Desacuerdo", ready: "Listo",
  waiting: "Espera", stopped: "Detenido", refused: "Marcado, pero no aceptado",
};
export const verdict: Words<Verdict> = {
  good: "Bien", look: "Mire mejor", outside: "Fuera", not_known: "No se sabe",
};
export const kind: Words<Body["kind"]> = {
  job_opened: "Trabajo abierto", request: "Pedido", particulars: "Dato", line_up: "Llave", reading: "Lectura",
  screw_move: "Tornillo girado", speed_control: "Control de velocidad", step_mark: "Paso", flow_evidence: "Caudal",
  atmosphere_test: "Prueba de aire", gauge: "Manómetro", note: "Nota", photo: "Fotografía", logger_file: "Archivo de registrador", person_joined: "Tarea",
  grant: "Función", history: "Visita anterior", withdrawn: "Retirado", resolution: "Resuelto",
  clock_check: "Relojes comparados", initials: "Iniciales", sign_off: "Firma", re_opened: "Abierto otra vez", procedure_file: "Archivo de procedimiento",
};
export const elementClass: Words<ElementClass> = {
  block_valve: "Válvula de corte", cock: "Llave", gauge_cock: "Llave de manómetro", bypass: "Desvío",
  vent: "Purga", hydrant: "Hidrante",
};
