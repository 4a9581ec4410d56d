//! `turnwise calc`: the arithmetic, one JSON request per line in, one JSON answer per line out.
//!
//! Every line gets an answer, in order, flushed at once. What cannot be served gets
//! `{"error": {"code": ..., "message": ...}}`, and the next line is served. No figure that is not finite comes
//! out: the answers hold [`Finite`] numbers, which cannot be made from anything else.

mod agreement;
mod available_flow;
mod convert;
mod elevation;
mod error;
mod finite;
mod gauge;
mod hydrant_flow;
mod learn_rate;
mod lines;
mod request;
mod required_cv;
mod steady;
mod surge;
mod turn_plan;
mod valve_flow;
mod valve_state;
mod vapour_pressure;
mod velocity;
mod wave_speed;

use error::CalcError;
use finite::Finite;
use lines::{Line, Lines};
use request::Request;
use serde::Serialize;
use serde_json::value::RawValue;
use std::io::{self, BufRead, Write};

/// Serves every line of `input` until it ends.
///
/// # Errors
/// Only what reading the input or writing the output gives.
pub fn run(input: impl BufRead, mut output: impl Write) -> io::Result<()> {
    let mut lines = Lines::new(input);
    while let Some(line) = lines.next()? {
        let mut answer = serde_json::to_vec(&serve(line)).map_err(io::Error::other)?;
        answer.push(b'\n');
        output.write_all(&answer)?;
        output.flush()?;
    }
    Ok(())
}

/// One line of output.
#[derive(Serialize)]
struct Reply {
    #[serde(skip_serializing_if = "Option::is_none")]
    id: Option<Box<RawValue>>,
    #[serde(flatten)]
    outcome: Outcome,
}

#[derive(Serialize)]
#[serde(rename_all = "snake_case")]
enum Outcome {
    Error(CalcError),
    #[serde(untagged)]
    Answer(Answer),
}

/// What the commands answer.
#[derive(Serialize)]
#[serde(untagged)]
enum Answer {
    Convert(convert::Answer),
    LearnRate(learn_rate::Answer),
    TurnPlan(turn_plan::Answer),
    Steady(steady::Answer),
    ValveFlow(valve_flow::Answer),
    RequiredCv(required_cv::Answer),
    VapourPressure(vapour_pressure::Answer),
    Velocity(velocity::Answer),
    HydrantFlow(hydrant_flow::Answer),
    AvailableFlow(available_flow::Answer),
    WaveSpeed(wave_speed::Answer),
    Surge(surge::Answer),
    Elevation(elevation::Answer),
    Gauge(gauge::Answer),
    Agreement(agreement::Answer),
    ValveState(valve_state::Answer),
}

fn serve(line: Line<'_>) -> Reply {
    let mut request = match Request::read(line) {
        Ok(request) => request,
        Err(error) => {
            return Reply {
                id: None,
                outcome: Outcome::Error(error),
            };
        }
    };
    let id = request.take_id();
    // What cannot be read back (a number that no double holds, say) is not echoed: the answer would be no JSON either.
    if id
        .as_ref()
        .is_some_and(|id| serde_json::from_str::<serde_json::Value>(id.get()).is_err())
    {
        return Reply {
            id: None,
            outcome: Outcome::Error(CalcError::new("bad_id", "id: it cannot be echoed")),
        };
    }
    let outcome = dispatch(request).map_or_else(Outcome::Error, Outcome::Answer);
    Reply { id, outcome }
}

/// Every command by its name.
fn dispatch(mut request: Request) -> Result<Answer, CalcError> {
    match request.need_text("do")?.as_str() {
        "convert" => convert::answer(request).map(Answer::Convert),
        "learn_rate" => learn_rate::answer(request).map(Answer::LearnRate),
        "turn_plan" => turn_plan::answer(request).map(Answer::TurnPlan),
        "steady" => steady::answer(request).map(Answer::Steady),
        "valve_flow" => valve_flow::answer(request).map(Answer::ValveFlow),
        "required_cv" => required_cv::answer(request).map(Answer::RequiredCv),
        "vapour_pressure" => vapour_pressure::answer(request).map(Answer::VapourPressure),
        "velocity" => velocity::answer(request).map(Answer::Velocity),
        "hydrant_flow" => hydrant_flow::answer(request).map(Answer::HydrantFlow),
        "available_flow" => available_flow::answer(request).map(Answer::AvailableFlow),
        "wave_speed" => wave_speed::answer(request).map(Answer::WaveSpeed),
        "surge" => surge::answer(request).map(Answer::Surge),
        "elevation" => elevation::answer(request).map(Answer::Elevation),
        "gauge" => gauge::answer(request).map(Answer::Gauge),
        "agreement" => agreement::answer(request).map(Answer::Agreement),
        "valve_state" => valve_state::answer(request).map(Answer::ValveState),
        other => Err(CalcError::new(
            "unknown_do",
            format!("no command `{}`", error::clip(other)),
        )),
    }
}

#[cfg(test)]
mod tests;
