// La revisión: qué hay que decidir, qué conviene leer, qué se resolvió.

import type { Catalogue } from "../catalogue";

export const review: Catalogue["review"] = {
  worthReading: "Conviene leerlo",
  worthReadingHint: "Va en el registro. Nadie tiene que decidir nada.",
  settledHint: "Qué se decidió, quién y por qué",
  again: "Hágalo otra vez",
  words: "Resolver con palabras",
  addendum: "Dejar como anexo",
  update: "Actualice esta tableta. Una versión más nueva puede leerlo.",
  more: (n: number) => `y ${n} más`,
  apart: (en: number) => `Separadas ${en} veces lo que ambos manómetros permiten juntos`,
  noGauge: "sin manómetro anotado",
  gauge: (serial: string) => `manómetro ${serial}`,
  giveTake: (figure: string) => `más o menos ${figure}`,
  asAddendum: (reason: string) => `Dejado como anexo: ${reason}`,
  reOpenHint: "Diga por qué. El registro firmado queda como está; usted firma otra revisión a su lado.",
  notYetInitialled: (n: number) => (n === 1 ? "1 aún sin iniciales" : `${n} aún sin iniciales`),
  limits: "Lo que vale este ajuste",
  unsaid: "Marcado sin:",
  wentOver: "La marca no tiene efecto. Pasó por encima de:",
  hints: {
    request_changed: "Ajuste la válvula al nuevo pedido, o diga por qué queda así.",
    readings_differ: "Lea otra vez con el manómetro de confianza, o diga cuál es el correcto y por qué.",
    two_on_screw: "Diga quién giró qué, para que la cuenta de vueltas sea correcta.",
    still_as_flowing: "Muestre que el agua se mueve y lea otra vez, o diga por qué vale la lectura.",
    gauge_over_span: "Diga cuánto vale la lectura.",
    gauge_out_of_calibration: "Corrija los datos del manómetro, o diga por qué valen sus lecturas.",
    not_bled: "Purgue el aire y marque el paso otra vez, o diga por qué no hacía falta.",
    not_normal: "Póngala en su posición normal, o diga por qué queda así y quién lo sabe.",
    lock_nut_not_re_read: "Lea otra vez la salida como queda, con la contratuerca apretada.",
    not_met: "Hágalo ahora, o diga por qué no se pudo.",
    late_entries: "Llegaron después de la firma. Déjelas junto al registro, o ábralo y firme otra vez.",
  },
};
