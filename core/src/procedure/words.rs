//! Conditions and stops in words.

use super::Text;
use super::condition::{
    After, AtmosphereIs, Condition, LineUpIs, ReadingIs, Sense, SetPointIs, Stance, ZeroCheck, ZoneLimitIs,
};
use super::model::{Element, Procedure};
use crate::journal::{Duty, Position, Purpose, Water};

/// That one element of the line-up stands as the whole is to stand.
pub(super) fn element_is(element: &Element, is: LineUpIs) -> Condition {
    Condition::Position {
        element: element.id.clone(),
        is: match is {
            LineUpIs::Normal => Stance::Normal,
            LineUpIs::Recorded => Stance::Recorded,
        },
    }
}

impl Condition {
    /// The condition in words, with the procedure's own names.
    pub fn say(&self, procedure: &Procedure) -> Text {
        match self {
            Self::Step { step } => around("Done first: ", &title(procedure, step), "Hecho antes: ", ""),
            Self::StepAt {
                step,
                procedure: other,
            } => step_at(procedure, step, other),
            Self::SetPoint(set) => set_point(set),
            Self::Choice { step, is } => answer(procedure, step, is),
            Self::Position { element, is } => position(procedure, element, *is),
            Self::LineUp {
                is: LineUpIs::Recorded,
            } => Text::new(
                "Every cock, vent and block valve recorded",
                "Cada llave, purga y corte anotado",
            ),
            Self::LineUp { is: LineUpIs::Normal } => Text::new(
                "Every cock, vent and block valve in its normal position",
                "Cada llave, purga y corte en su posición normal",
            ),
            Self::Reading(reading) => reading_words(procedure, reading),
            Self::Zero { point, after } => {
                let point = point_label(procedure, point);
                let words = Text::new(
                    format!("{}: newest reading at zero", point.en),
                    format!("{}: última lectura en cero", point.es),
                );
                join(&words, &after_words(procedure, after))
            }
            Self::Flow => Text::new("Water proven to move", "Probado que el agua se mueve"),
            Self::Particular { name, is } => particular(procedure, name, is.as_deref()),
            Self::Request => Text::new("One request stands", "Hay un pedido vigente"),
            Self::ZoneLimit {
                is: ZoneLimitIs::OnRecord,
            } => Text::new("The zone's limit on record", "Límite de la zona anotado"),
            Self::ZoneLimit {
                is: ZoneLimitIs::Within,
            } => Text::new(
                "The zone at or under its limit",
                "La zona en su límite o por debajo",
            ),
            Self::Gauge { point, zero } => gauge(procedure, point, *zero),
            Self::Duty { duty } => {
                let duty = duty_words(*duty);
                Text::new(
                    format!("{} named", duty.en),
                    format!("{}: persona nombrada", duty.es),
                )
            }
            Self::Move { screw, sense, after } => {
                let way = match sense {
                    Sense::In => Text::new("turned in, recorded", "girado hacia adentro, anotado"),
                    Sense::Out => Text::new("turned out, recorded", "girado hacia afuera, anotado"),
                    Sense::Any => Text::new("turned, recorded", "girado, anotado"),
                };
                let label = procedure
                    .screw(screw)
                    .map(|it| it.label.clone())
                    .unwrap_or_default();
                join(&colon(&label, &way), &after_words(procedure, after))
            }
            Self::SpeedControl { control, after } => {
                let label = procedure
                    .speed_control(control)
                    .map(|it| it.label.clone())
                    .unwrap_or_default();
                let words = colon(
                    &label,
                    &Text::new("turns open recorded", "vueltas abiertas anotadas"),
                );
                join(&words, &after_words(procedure, after))
            }
            Self::Photo { after } => join(
                &Text::new("A photograph", "Una fotografía"),
                &after_words(procedure, after),
            ),
            Self::Note { after } => join(&Text::new("A note", "Una nota"), &after_words(procedure, after)),
            Self::Atmosphere { is } => air(*is),
            Self::Attendant => Text::new("Attendant at the opening", "Vigía en la boca"),
            Self::Retrieval { .. } => Text::new("Retrieval gear rigged", "Equipo de rescate montado"),
            Self::Vented { points, after } => {
                let labels: Vec<Text> = points.iter().map(|point| point_label(procedure, point)).collect();
                let en: Vec<&str> = labels.iter().map(|label| label.en.as_str()).collect();
                let es: Vec<&str> = labels.iter().map(|label| label.es.as_str()).collect();
                let words = Text::new(
                    format!("Vented to zero: {}", en.join("; ")),
                    format!("Venteado a cero: {}", es.join("; ")),
                );
                join(&words, &after_words(procedure, after))
            }
            Self::PermitSpace => Text::new("Permit space", "Espacio confinado con permiso"),
            Self::Agreed => Text::new("Every disagreement settled", "Toda diferencia resuelta"),
            Self::Initials => Text::new("Everybody's initials", "Iniciales de todos"),
            Self::Signed => Text::new("Signed by the lead tech", "Firmado por el técnico líder"),
            Self::Any(any) => {
                let all: Vec<Text> = any.iter().map(|it| it.say(procedure)).collect();
                let en: Vec<&str> = all.iter().map(|it| it.en.as_str()).collect();
                let es: Vec<&str> = all.iter().map(|it| it.es.as_str()).collect();
                Text::new(en.join(", or "), es.join(", o "))
            }
        }
    }

    /// What to do when this hard stop is in force. For a condition that is no stop: the condition in words.
    pub fn stop_say(&self, procedure: &Procedure) -> Text {
        match self {
            Self::Atmosphere {
                is: AtmosphereIs::WithinLimits,
            } => Text::new(
                "Stop. Air not shown to be within limits: everyone out, ventilate, test every level again. \
                 The entry supervisor decides, outside this tool.",
                "Pare. Aire no comprobado dentro de límites: todos afuera, ventile, mida otra vez cada nivel. \
                 Decide el supervisor de entrada, fuera de esta herramienta.",
            ),
            Self::Attendant => Text::new(
                "Stop. No attendant at the opening: nobody is below until one is posted. \
                 The entry supervisor decides, outside this tool.",
                "Pare. No hay vigía en la boca: nadie abajo hasta que lo haya. \
                 Decide el supervisor de entrada, fuera de esta herramienta.",
            ),
            Self::Retrieval { .. } => Text::new(
                "Stop. No retrieval gear rigged: nobody is below until it is. \
                 The entry supervisor decides, outside this tool.",
                "Pare. No hay equipo de rescate montado: nadie abajo hasta que esté. \
                 Decide el supervisor de entrada, fuera de esta herramienta.",
            ),
            Self::Vented { .. } => Text::new(
                "Stop. Pressure may stand behind this fitting: hands off, vent each trapped volume to zero and \
                 read it. The entry supervisor decides, outside this tool.",
                "Pare. Puede haber presión detrás de esta conexión: no la toque, ventee a cero cada volumen \
                 atrapado y léalo. Decide el supervisor de entrada, fuera de esta herramienta.",
            ),
            Self::ZoneLimit {
                is: ZoneLimitIs::Within,
            } => Text::new(
                "Stop. The zone is over its limit: follow the runaway card, then read again. \
                 The entry supervisor decides, outside this tool.",
                "Pare. La zona pasó su límite: haga lo que dice «Se dispara» y vuelva a leer. \
                 Decide el supervisor de entrada, fuera de esta herramienta.",
            ),
            other => other.say(procedure),
        }
    }
}

/// A step of another valve. Where the step has the same id here it is called by its title, else by its id: the other
/// procedure is not at hand.
fn step_at(procedure: &Procedure, step: &str, other: &str) -> Text {
    let named = procedure
        .step(step)
        .map_or_else(|| Text::new(step, step), |step| step.title.clone());
    let (en, es) = valve_by(other);
    Text::new(
        format!("Done first at {en}: {}", named.en),
        format!("Hecho antes en {es}: {}", named.es),
    )
}

/// What the valve that is worked by a procedure is called.
fn valve_by(procedure: &str) -> (String, String) {
    match procedure {
        "relief" => ("the relief valve".to_owned(), "la válvula de alivio".to_owned()),
        "parallel_low_flow" => (
            "the low-flow valve".to_owned(),
            "la válvula de bajo caudal".to_owned(),
        ),
        "parallel_large" => ("the large valve".to_owned(), "la válvula grande".to_owned()),
        other => (
            format!("the valve of `{other}`"),
            format!("la válvula de «{other}»"),
        ),
    }
}

fn set_point(set: &SetPointIs) -> Text {
    let least = &set.least;
    if set.above {
        Text::new(
            format!("Requests on record: this one at least {least} above the valves beside it"),
            format!("Pedidos anotados: este al menos {least} sobre las válvulas vecinas"),
        )
    } else {
        Text::new(
            format!("Requests on record: this one at least {least} below the valves beside it"),
            format!("Pedidos anotados: este al menos {least} bajo las válvulas vecinas"),
        )
    }
}

fn around(en: &str, text: &Text, es: &str, after: &str) -> Text {
    Text::new(
        format!("{en}{}{after}", text.en),
        format!("{es}{}{after}", text.es),
    )
}

fn colon(a: &Text, b: &Text) -> Text {
    Text::new(format!("{}: {}", a.en, b.en), format!("{}: {}", a.es, b.es))
}

fn join(a: &Text, b: &Text) -> Text {
    Text::new(format!("{}{}", a.en, b.en), format!("{}{}", a.es, b.es))
}

fn title(procedure: &Procedure, step: &str) -> Text {
    procedure
        .step(step)
        .map(|step| step.title.clone())
        .unwrap_or_default()
}

fn point_label(procedure: &Procedure, point: &str) -> Text {
    procedure
        .point(point)
        .map(|point| point.label.clone())
        .unwrap_or_default()
}

fn answer(procedure: &Procedure, step: &str, is: &str) -> Text {
    let option = procedure
        .step(step)
        .and_then(|step| step.options.iter().find(|it| it.id == is));
    let label = option.map(|option| option.label.clone()).unwrap_or_default();
    colon(&title(procedure, step), &label)
}

fn position(procedure: &Procedure, element: &str, is: Stance) -> Text {
    let Some(element) = procedure.element(element) else {
        return Text::default();
    };
    let plain = |position| match position {
        Position::Open => ("open", "abierta"),
        Position::Shut => ("shut", "cerrada"),
        Position::Throttled => ("throttled", "estrangulada"),
    };
    let (en, es) = match is {
        Stance::Is(position) => {
            let (en, es) = plain(position);
            (en.to_owned(), format!("posición {es}"))
        }
        Stance::Normal => {
            let (en, es) = plain(element.normal);
            (
                format!("in normal position ({en})"),
                format!("posición normal ({es})"),
            )
        }
        Stance::NotShut => ("not shut".to_owned(), "posición no cerrada".to_owned()),
        Stance::Recorded => ("position recorded".to_owned(), "posición anotada".to_owned()),
    };
    colon(&element.label, &Text::new(en, es))
}

fn reading_words(procedure: &Procedure, reading: &ReadingIs) -> Text {
    let point = point_label(procedure, &reading.point);
    let what = match reading.purpose {
        None => Text::new("read", "leída"),
        Some(Purpose::AsFound) => Text::new("read as found", "leída como se encontró"),
        Some(Purpose::Working) => Text::new("read while working", "leída durante el trabajo"),
        Some(Purpose::StaticSetting) => Text::new("read as static setting", "leída como ajuste estático"),
        Some(Purpose::Baseline) => Text::new("read for the baseline", "leída como referencia"),
        Some(Purpose::LockUp) => Text::new("read for lock-up", "leída en cierre"),
        Some(Purpose::AsLeft) => Text::new("read as left", "leída como queda"),
    };
    let mut words = Text::new(
        format!("{}: {}", point.en, what.en),
        format!("{}: {}", point.es, what.es),
    );
    if reading.count > 1 {
        words = join(
            &words,
            &Text::new(
                format!(" {} times", reading.count),
                format!(" {} veces", reading.count),
            ),
        );
    }
    let water = match reading.water {
        Some(Water::Flowing) => Text::new(", water moving", ", con caudal"),
        Some(Water::Still) => Text::new(", water still", ", sin caudal"),
        Some(Water::Unknown) | None => Text::default(),
    };
    words = join(&words, &water);
    if reading.within_limit {
        words = join(
            &words,
            &Text::new(", within the zone's limit", ", dentro del límite de la zona"),
        );
    }
    if reading.names_request {
        words = join(
            &words,
            &Text::new(", for the request that stands", ", según el pedido vigente"),
        );
    }
    if reading.names_gauge {
        words = join(&words, &Text::new(", with its gauge", ", con su manómetro"));
    }
    join(&words, &after_words(procedure, &reading.after))
}

fn after_words(procedure: &Procedure, after: &[After]) -> Text {
    let mut words = Text::default();
    for after in after {
        words = match after {
            After::LastMove => join(
                &words,
                &Text::new(", after the last turn", ", después del último giro"),
            ),
            After::Step(step) => {
                let title = title(procedure, step);
                let added = Text::new(
                    format!(", after \"{}\"", title.en),
                    format!(", después de «{}»", title.es),
                );
                join(&words, &added)
            }
        };
    }
    words
}

fn particular(procedure: &Procedure, name: &str, is: Option<&str>) -> Text {
    let asked = procedure.particular(name);
    let label = asked.map_or_else(|| Text::new(name, name), |asked| asked.label.clone());
    let Some(is) = is else {
        return colon(&label, &Text::new("on record", "dato anotado"));
    };
    let word = asked.and_then(|asked| match &asked.told_as {
        super::ToldAs::Choice(words) => words.iter().find(|word| word.id == is),
        _ => None,
    });
    colon(
        &label,
        &word.map_or_else(|| Text::new(is, is), |word| word.label.clone()),
    )
}

fn gauge(procedure: &Procedure, point: &str, zero: Option<ZeroCheck>) -> Text {
    let point = point_label(procedure, point);
    match zero {
        None => Text::new(
            format!("Gauge on record: {}", point.en),
            format!("Manómetro anotado: {}", point.es),
        ),
        Some(ZeroCheck::Before) => Text::new(
            format!("Gauge zero before the work: {}", point.en),
            format!("Cero del manómetro antes del trabajo: {}", point.es),
        ),
        Some(ZeroCheck::After) => Text::new(
            format!("Gauge zero after the work: {}", point.en),
            format!("Cero del manómetro después del trabajo: {}", point.es),
        ),
    }
}

fn duty_words(duty: Duty) -> Text {
    match duty {
        Duty::WrenchHand => Text::new("Wrench hand", "Mano de llave"),
        Duty::TopsideHand => Text::new("Topside hand", "Mano de arriba"),
        Duty::Attendant => Text::new("Attendant", "Vigía"),
        Duty::EntrySupervisor => Text::new("Entry supervisor", "Supervisor de entrada"),
    }
}

fn air(is: AtmosphereIs) -> Text {
    match is {
        AtmosphereIs::TestedAtTop => Text::new(
            "Air tested through the pick hole",
            "Aire medido por el orificio de la tapa",
        ),
        AtmosphereIs::Tested => Text::new(
            "Air tested at every level, from the top down",
            "Aire medido en cada nivel, de arriba abajo",
        ),
        AtmosphereIs::BumpTested => {
            Text::new("Meter bump tested today", "Medidor probado hoy con gas patrón")
        }
        AtmosphereIs::WithinLimits => Text::new("Air within limits", "Aire dentro de límites"),
    }
}
