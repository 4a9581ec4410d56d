//! Numbers with a decimal point or a decimal comma.

/// A number as people and programs write it: `60.5`, `60,5`, `1,060.5`, `1.060,5`, `-3`, `6.05E1`. None for anything
/// else, for nothing, and for what is not finite.
///
/// Where point and comma both stand, the last is the decimal one. A comma alone is the decimal one.
pub fn number(cell: &str) -> Option<f64> {
    let cell = cell.trim();
    if !cell.starts_with(|first: char| first.is_ascii_digit() || matches!(first, '-' | '+' | '.' | ',')) {
        return None;
    }
    let read: f64 = match (cell.rfind('.'), cell.rfind(',')) {
        (_, None) => cell.parse().ok()?,
        (None, Some(_)) => {
            if cell.matches(',').count() > 1 {
                return None;
            }
            cell.replace(',', ".").parse().ok()?
        }
        (Some(point), Some(comma)) if point > comma => cell.replace(',', "").parse().ok()?,
        (Some(_), Some(_)) => cell.replace('.', "").replace(',', ".").parse().ok()?,
    };
    read.is_finite().then_some(read)
}
