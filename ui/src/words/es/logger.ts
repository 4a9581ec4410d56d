// Palabras para los archivos de registrador.

import type { Catalogue } from "../catalogue";

export const logger: Catalogue["logger"] = {
  title: "Archivos de registrador",
  none: "Aún no hay archivos.",
  noneNext: "Un archivo CSV de un registrador: una columna de horas y una de presiones.",
  pick: "Elegir un archivo",
  bringing: (percent) => `Recibiendo: ${percent} %`,
  holds: (rows, columns) => `${rows} filas, ${columns}`,
  column: "Columna",
  unit: "Unidad",
  dayFirst: "Las fechas van",
  orders: { day: "día/mes", month: "mes/día" },
  point: "El registrador estaba en",
  keep: "Guardar este archivo",
  inHand: "A la vista",
  whole: "Todo el archivo",
  nearer: "Acercar",
  farther: "Alejar",
  earlier: "Antes",
  later: "Después",
  plot: (low, high) => `Presión contra tiempo, de ${low} a ${high}`,
  mean: "Media",
  range: "Mínima y máxima",
  noSettled: "Nada que juzgar en esta ventana.",
  seconds: (n) => `${n} s`,
  remark: {
    unordered: "Las horas venían en desorden; se ordenaron.",
    duplicate_times: "Algunas horas se repiten; se tomó la media.",
    rows_left_out: "Algunas filas no tienen número; se dejaron fuera.",
    local_times: "Las horas son las del reloj del registrador.",
    gaps: "Hay huecos.",
  },
  problem: {
    empty: "El archivo está vacío.",
    too_large: "El archivo es demasiado grande.",
    too_many_rows: "Más de un millón de filas. Divídalo.",
    no_data: "Ninguna fila tiene hora y número. ¿Es un CSV de registrador?",
    no_column: "Esa columna no tiene números.",
    no_unit: "El encabezado no dice la unidad. Dígala.",
    ambiguous_date: "No se distinguen día y mes. Diga cuál va primero.",
    bad_rows: "Demasiadas filas no se pueden leer.",
    damaged: "Lo guardado está dañado.",
    not_here: "El contenido del archivo no ha llegado a esta tableta.",
  },
};

