//! The table's own words.

use crate::journal::{Duty, FlowProof, Level, Purpose, Water};
use crate::procedure::Text;

/// A kind of entry. A kind that is not known is its own word.
pub fn kind(code: &str) -> Text {
    let (en, es) = match code {
        "job_opened" => ("Job", "Trabajo"),
        "request" => ("Request", "Solicitud"),
        "particulars" => ("Particular", "Dato"),
        "line_up" => ("Line-up", "Alineación"),
        "reading" => ("Reading", "Lectura"),
        "screw_move" => ("Turn", "Giro"),
        "speed_control" => ("Speed control", "Control de velocidad"),
        "step_mark" => ("Step", "Paso"),
        "flow_evidence" => ("Flow", "Flujo"),
        "atmosphere_test" => ("Air test", "Prueba de aire"),
        "gauge" => ("Gauge", "Manómetro"),
        "note" => ("Note", "Nota"),
        "photo" => ("Photograph", "Fotografía"),
        "person_joined" => ("Crew", "Cuadrilla"),
        "grant" => ("Role", "Rol"),
        "history" => ("Earlier visit", "Visita anterior"),
        "withdrawn" => ("Taken back", "Retirada"),
        "resolution" => ("Settlement", "Decisión"),
        "clock_check" => ("Clocks compared", "Relojes comparados"),
        "initials" => ("Initials", "Iniciales"),
        "sign_off" => ("Signature", "Firma"),
        "re_opened" => ("Opened again", "Reapertura"),
        "procedure_file" => ("Procedure file", "Archivo de procedimiento"),
        other => (other, other),
    };
    Text::new(en, es)
}

/// What a reading was for.
pub fn purpose(purpose: Purpose) -> Text {
    match purpose {
        Purpose::AsFound => Text::new("as found", "como se encontró"),
        Purpose::Working => Text::new("working", "de trabajo"),
        Purpose::StaticSetting => Text::new("static setting", "ajuste estático"),
        Purpose::Baseline => Text::new("baseline", "línea base"),
        Purpose::LockUp => Text::new("lock-up", "cierre sin flujo"),
        Purpose::AsLeft => Text::new("as left", "como se dejó"),
    }
}

/// Whether water moved.
pub fn water(water: Water) -> Text {
    match water {
        Water::Flowing => Text::new("flowing", "con flujo"),
        Water::Still => Text::new("still", "sin flujo"),
        Water::Unknown => Text::new("not said", "no dicho"),
    }
}

/// What showed that water moved.
pub fn flow(how: FlowProof) -> Text {
    match how {
        FlowProof::Meter => Text::new("a meter runs", "un medidor gira"),
        FlowProof::Pitot => Text::new("a pitot reads", "un pitot marca"),
        FlowProof::VisibleDischarge => Text::new("water seen to come out", "se ve salir agua"),
        FlowProof::OutletFellOnDownwardMove => Text::new(
            "the outlet fell on a downward move",
            "la salida bajó con un giro hacia abajo",
        ),
        FlowProof::Stopped => Text::new("the flow was stopped", "se detuvo el flujo"),
    }
}

/// Where in the chamber.
pub fn level(level: Level) -> Text {
    match level {
        Level::Top => Text::new("top", "arriba"),
        Level::Middle => Text::new("middle", "a media altura"),
        Level::Bottom => Text::new("bottom", "abajo"),
    }
}

/// What somebody does.
pub fn duty(duty: Duty) -> Text {
    match duty {
        Duty::WrenchHand => Text::new("wrench hand", "en la válvula"),
        Duty::TopsideHand => Text::new("topside hand", "en la superficie"),
        Duty::Attendant => Text::new("attendant", "vigía"),
        Duty::EntrySupervisor => Text::new("entry supervisor", "supervisor de entrada"),
    }
}

/// Several, with commas between.
pub fn joined(texts: &[Text]) -> Text {
    let all = |of: fn(&Text) -> &str| texts.iter().map(of).collect::<Vec<_>>().join(", ");
    Text::new(all(|text| &text.en), all(|text| &text.es))
}
