// Words for pairing with crew mates' tablets.

import type { Known } from "../known";
import type { PAIRING_ERRORS } from "../known-pairing";

export const pairing = {
  title: "Tabletas de la cuadrilla",
  hint: "Se emparejan una vez. Después se encuentran solas en cualquier wifi o punto de acceso, sin internet.",
  off: "Con el enlace apagado no se pueden emparejar tabletas.",
  none: "Todavía no hay ninguna tableta emparejada con esta.",
  since: (when: string) => `emparejada ${when}`,
  show: "Mostrar un código",
  showNew: "Mostrar otro código",
  hide: "Ocultar el código",
  type: "Teclear un código",
  code: "Código para tu compañero",
  codeHint: (minutes: number) => `Léelo en voz alta. Vale para una tableta, durante ${minutes} minutos.`,
  tries: (n: number) => (n === 1 ? "queda 1 intento" : `quedan ${n} intentos`),
  used: "Este código se intentó demasiadas veces.",
  here: "Esta tableta está en",
  which: "¿Qué tableta muestra el código?",
  byAddress: "Otra, por su dirección",
  address: "Su dirección, como está bajo el código",
  typed: "El código de la otra tableta",
  digits: "Cifras del código",
  pair: "Emparejar",
  forget: "Olvidar",
  forgetThis: (name: string) => `Olvidar ${name}`,
  forgetHint: "Su enlace se corta y no recibe nada más hasta emparejarla otra vez. Lo que ya tiene queda en ella.",
};

export const pairingErrors: Pick<Known["error"], (typeof PAIRING_ERRORS)[number]> = {
  bad_code: "Un código tiene seis cifras.",
  no_code: "La otra tableta no muestra ningún código.",
  code_expired: "El código es viejo. Que la otra tableta muestre otro.",
  code_used_up: "El código se intentó demasiadas veces. Que la otra tableta muestre otro.",
  wrong_code: "No es el código que muestra la otra tableta.",
  pair_garbage: "Lo que responde ahí no es una tableta que se pueda emparejar.",
  pair_late: "La otra tableta no respondió a tiempo.",
  own_device: "Es esta misma tableta.",
  known_otherwise: "Esa tableta se conoce con otra llave. Olvídala primero, en las dos tabletas.",
  not_kept: "El emparejamiento no se pudo guardar.",
  unreachable: "Ahí no responde ninguna tableta. ¿Están las dos en la misma wifi?",
  lost: "Se perdió la conexión.",
  link_off: "El enlace de esta tableta está apagado.",
  bad_address: "Una dirección es como 192.168.43.1:47800.",
};
